"""The numbers a build begins with: from them on, it is told something."""

# Of all sets of five we tried on the demonstration build these answered the most questions.
FIRST_FIVE = (
    "prototype.wheelbase",
    "prototype.width",
    "shell.wheelbase",
    "shell.width",
    "running-gear.wheelbase",
)
