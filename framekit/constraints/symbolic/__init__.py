"""Laws as sympy equations, and the generator of the plain module that a run uses."""
