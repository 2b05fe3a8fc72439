"""What cases and requirements are called in sentences and in narrow tables."""

CASE_WORDS = {
    "forward": "braking",
    "rearward": "pulling away",
    "left": "a swerve to the right",
    "right": "a swerve to the left",
    "upward": "a bump",
}
CASE_SHORT = {
    "forward": "braking",
    "rearward": "pulling away",
    "left": "swerve right",
    "right": "swerve left",
    "upward": "bump",
}

ROOM = "room for every anchor, above and below"
"""The requirement that a mounting can be built where it is."""
WHEELS = "deck under the wheels"
"""The requirement that the deck bears what stands on it."""
WHEELS_HELP = "boards from member to member under the tyres, or another layer"
