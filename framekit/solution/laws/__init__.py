"""The laws as sympy equations, and the generator of the plain module a run uses."""
