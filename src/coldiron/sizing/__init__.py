"""Sizes for a repair: wire by the volts it may lose, fuse by what the wire carries, link and splice by the wire."""
