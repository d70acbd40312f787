"""One sheet on one press: the only room that joins a plastic, a press and the physics."""
