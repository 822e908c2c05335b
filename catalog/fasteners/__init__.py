"""Fasteners: which thread, which wrench, which torque."""
