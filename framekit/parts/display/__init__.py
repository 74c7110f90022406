"""How a frame stands, hangs and balances."""
