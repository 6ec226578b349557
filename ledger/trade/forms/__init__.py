"""Worksheets: box by box, what goes on an official form, and what is asked first."""
