"""How heat goes through a pile of metal and plastic layers: SI numbers in, histories out."""
