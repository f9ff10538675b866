"""Random requests that succeed, and replies of two versions of the service compared (see `make digest`)."""
