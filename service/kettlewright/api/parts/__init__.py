"""Parts of requests and responses that several endpoints share."""
