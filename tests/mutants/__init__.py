"""Mutation test of the safety rules: seeded defects, judged by an oracle that reads built pages."""
