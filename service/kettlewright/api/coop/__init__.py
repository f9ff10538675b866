"""The co-op's own data: a folder of tables, checked as strictly as a request, and served."""
