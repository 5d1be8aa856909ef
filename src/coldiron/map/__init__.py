"""The drawing of a machine, made from its circuit: where every point lies; text and SVG from the same data."""
