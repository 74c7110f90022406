"""Joints between ribs and discs: one class each with its laws, margins, sentences and shapes."""
