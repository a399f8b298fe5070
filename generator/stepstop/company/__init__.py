"""What a service company tells of itself for its own edition of the pages."""
