"""The loader under coverage-guided fuzzing: whatever an author writes ends in pages or problems."""
