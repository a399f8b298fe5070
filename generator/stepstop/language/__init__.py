"""Pages in more than one language: what is translated, from where, and what is missing."""
