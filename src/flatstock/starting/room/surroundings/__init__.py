"""What the room must carry away or withstand: fume and its air, heat in winter, what burns."""
