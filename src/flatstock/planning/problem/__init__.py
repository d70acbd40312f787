"""What is to be planned: sheets, places, people and the clock, in whole minutes."""
