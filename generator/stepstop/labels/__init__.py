"""Printed labels near the equipment, with a code by which a phone opens its page."""
