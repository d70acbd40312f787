"""What stands in the shop: presses, moulds, places, people, lots and orders, read from a folder of files."""
