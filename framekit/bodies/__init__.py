"""The skins of bodies of revolution as functions of a height, and the laws they bring."""
