"""What each page is rendered from: one frozen value a page, one module a subject."""
