"""What moves make true, one subject a module: each effect changes one thing of the string."""
