"""What cases are called in sentences and in narrow tables."""

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
