"""The routes, one module a subject: each reads the form, calls one service, and renders one page."""
