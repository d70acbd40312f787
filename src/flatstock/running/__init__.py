"""What stands where now, what is due next, and what may be done: from events, the plan and the physics' clocks."""
