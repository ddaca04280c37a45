"""Makes the documents that leave the program, and the signatures on them."""
