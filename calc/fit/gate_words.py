"""The gate's codes in plain English, for the command line. The phone has its own texts by code."""

WORDS = {
    "stub-one-piece": "The stub axle is one piece with the beam: no joint to put rings into. Do not fit them.",
    "driven-not-allowed": "This hub is driven. Rings go in only where the vehicle maker's service information and the "
    "rings' maker both allow it.",
    "hub-to-wheel": "Rings never go between hub and wheel or disc: the wheel would no longer be held. Fit them between "
    "axle flange and hub, or not at all.",
    "pair-already-fitted": "A ring pair is in already. Never two pairs in one stack: take it out, then read again.",
    "pilot-lifts-out": "The stack is as long as the hub's pilot or longer: the hub would no longer be centred.",
    "pilot-binds": "Tilted by these rings, the hub's pilot would bind in the flange bore and hold the faces apart.",
    "ring-bore-too-small": "Tilted, the hub's pilot does not pass through the rings' bore. Other rings are needed.",
    "sensor-gap-too-wide": "The wheel-speed sensor stays on the axle: the stack opens its gap beyond what is allowed.",
    "bracket-inboard": "The caliper bracket sits inboard of its ear: spacers would go the wrong way. No rings.",
    "arch-too-close": "The top of the tyre would move out further than there is room in the wheel arch.",
    "bolt-outside-ring": "A bolt's clearance would cut through the rim of a ring: other rings are needed.",
    "bolts-bottom": "No bolt length serves: long enough to hold would touch the bottom of the hole.",
    "plate-stays-behind": "The backing plate stays while hub and drum or disc move out and tilt: see that the brake "
    "still runs true, and that the rings' maker allows it.",
    "pilot-shallow": "Little of the hub's pilot is left in its bore: see that it still centres the hub.",
    "sensor-gap": "The wheel-speed sensor stays on the axle: its gap grows by the stack. Check the signal afterwards.",
    "sensor-gap-unknown": "The sensor's gap grows by the stack, and no limit is known: ask the service information.",
    "bracket-spacers": "The caliper bracket stays on the axle, outboard of its ear: it needs spacers at its lugs.",
    "ring-beyond-flange": "A ring stands out beyond the flange: see that it touches no pipe, plate or lead.",
    "ring-inside-flange": "A ring is smaller than the flange: see that it bears to beyond the bolts.",
}
