"""A picture of a tree for whoever writes or reviews it: what leads where, and how many go there."""
