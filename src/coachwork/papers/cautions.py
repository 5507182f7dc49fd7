"""What may hurt somebody at the bench or on the road, in the usual words; local rules always come first."""

from __future__ import annotations

PACK = (
    "Unplug the pack before you measure, solder or screw. Lithium packs burn when pierced, crushed, shorted or charged "
    "wrongly: charge them watched, on something that does not burn, with a charger made for them, and put a swollen or "
    "dented one outside. The pack's leaflet and your local rules come first."
)
SOLDER = "Soldering irons and motor cans burn fingers, flux fumes irritate: air the room, shrink-sleeve every joint."
BLADES = (
    "Knives, saws and burrs slip: cut away from yourself, clamp the work, wear eye protection. Resin, carbon and "
    "primer dust harm lungs: wet sanding, a fitting mask, and a vacuum, not a brush."
)
SPINNING = (
    "Wheels off the ground, fingers, hair, sleeves and leads away from pinion, spur and shafts whenever a pack is in: "
    "a motor starts without asking."
)
FAST = (
    "Two to three kilograms at running speed hurt: try it where nobody stands in the way, never towards people or "
    "traffic. Test the failsafe first, wheels off the ground. Local rules on where to run and on radio come first."
)
SPRINGS = "Springs under load jump: keep your face away."
PAINT = "Solvents and paints: outdoors or with a fitting filter mask and gloves, away from flames; follow their labels."
LOCK = "Thread-lock softens many plastics and keeps eyes and skin sore: metal into metal only, a drop, gloves."
