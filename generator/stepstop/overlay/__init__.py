"""Overlays: a folder that holds only what somebody changes in the trees of another folder.

An overlay has the file `over.yml`, which names the folder below. What is in its `changes/` is laid
over the file of the same name below, key by key; trees and files of its own stand beside those
below. So a newer release below is taken without copying anything, and `seen.json` tells what it
touches.
"""
