"""Question pages: views (what a page says, as plain data) and their rendering to HTML."""
