"""The clauses of a rear-axle job as tables: what comes before what, which steps hold, what must be said in words.

Common practice, no source, where none is named. They stand apart from the checklist, so that a change there has to be
meant twice.

Sources: [HSE] Health and Safety Executive, "Working under vehicles",
https://www.hse.gov.uk/mvr/mechanical-repair/under-vehicles.htm: chock the wheels that stay on the ground, use the
lifting points of the handbook, do not rely on jacks alone. [OSHA] 29 CFR 1910.1001 Appendix F, brake and clutch work:
wet methods or a HEPA vacuum, no dry brushing, compressed air only inside a sealed enclosure.
"""

# What must not be done before what, within the whole checklist. Each row is one clause.
SAFETY_ORDER = [
    ("room at the arch known before choosing", "vehicle.tyre-radius", "choose.plan"),
    ("can rings go in before choosing", "vehicle.can-rings-go-in", "choose.plan"),
    ("supported before anybody looks underneath", "vehicle.under-supported", "vehicle.mounting"),  # [HSE]
    ("supported before the bearings are shaken", "vehicle.inspection-supported", "vehicle.bearings"),  # [HSE]
    ("damage looked for before choosing", "vehicle.structure", "choose.plan"),
    ("base compensated before it is read", "base.compensation", "base.readings"),
    ("base settled before it is read", "base.settled", "base.readings"),
    ("the customer agreed before old rings come out", "vehicle.removal-agreed", "fit.pair-out"),
    ("old marks read before the old rings move", "vehicle.pair-marks", "fit.pair-out"),
    ("advice answered before the plan is taken", "choose.advice", "choose.plan"),
    ("consent before anything is taken apart", "choose.consent", "fit.wheel-off"),
    ("single-use parts at hand first", "choose.single-use", "fit.wheel-off"),
    ("torque known before anything is taken apart", "fit.torque", "fit.wheel-off"),
    ("rings named L or R before cutting", "prepare.named", "prepare.opened"),
    ("bolts and spacers known before cutting", "prepare.needs", "prepare.opened"),
    ("trial fit before cutting", "prepare.trial-fit", "prepare.opened"),
    ("last look before cutting", "prepare.last-look", "prepare.opened"),
    ("eye protection before cutting", "prepare.eyes", "prepare.opened"),
    ("cracks looked for after cutting", "prepare.opened", "prepare.whole"),
    ("a part that is missing is told before chocks and lift", "fit.parts-ready", "fit.chocked"),
    ("top marked at ride height, before lifting", "fit.top-marked", "fit.supported"),
    ("level rested at ride height, before lifting", "fit.level-ride", "fit.supported"),
    ("level rested again once it hangs", "fit.supported", "fit.level-hanging"),
    ("level rested again before the rings", "fit.level-hanging", "fit.rings-in"),
    ("chocked before the parking brake is released", "fit.chocked", "fit.brake-released"),  # [HSE]
    ("chocked before service mode opens an electric one", "fit.chocked", "fit.parking-mode"),
    ("service mode before the key goes away", "fit.parking-mode", "fit.key-away"),
    ("air springs safe before the key goes away", "fit.suspension-mode", "fit.key-away"),
    ("plates pinned before fasteners are eased", "fit.plates-pinned", "fit.eased"),
    ("key away before lifting", "fit.key-away", "fit.supported"),
    ("high voltage safe before lifting", "fit.high-voltage", "fit.supported"),
    (
        "fasteners eased while the wheels stand on the ground",
        "fit.eased",
        "fit.supported",
    ),  # common practice, no source
    (
        "axle nut eased while the wheel stands on the ground",
        "fit.axle-nut-eased",
        "fit.supported",
    ),  # common practice, no source
    ("fasteners eased behind chocks", "fit.chocked", "fit.eased"),  # common practice, no source
    ("heads off before the wheel", "fit.heads-off", "fit.wheel-off"),
    ("supported before the wheel comes off", "fit.supported", "fit.wheel-off"),  # [HSE]
    ("caliper hung before the leads are unclipped", "fit.caliper-hung", "fit.leads-free"),
    ("drum off before the leads are unclipped", "fit.drum-off", "fit.leads-free"),
    ("leads free before the hub moves", "fit.leads-free", "fit.hub-free"),
    ("hub carried before it comes free", "fit.hub-supported", "fit.hub-free"),
    ("an earlier round's rings out when the hub is free", "fit.hub-free", "fit.pair-out"),
    ("an earlier round's rings out before anything goes in", "fit.pair-out", "fit.rings-in"),
    ("faces flat before the rings", "fit.faces", "fit.rings-in"),
    ("faces flat before the bare hub goes back", "fit.faces", "fit.hub-back"),
    ("no ring left in before the bolts", "fit.hub-back", "fit.bare-bolts"),
    ("bolts of the bare stack before they go in", "fit.bare-bolts", "fit.bolts-by-hand"),
    ("bolt length before they go in", "fit.bolt-length", "fit.bolts-by-hand"),
    ("pilot seen before the rings", "fit.pilot", "fit.rings-in"),
    ("lead joined before the hub closes", "fit.lead-joined", "fit.bolts-by-hand"),
    ("touching pipe looked for before closing", "fit.touches", "fit.bolts-by-hand"),
    ("rerouting tried before an edge is eased", "fit.rerouted", "fit.edge-whole"),
    ("an eased ring whole before closing", "fit.edge-whole", "fit.bolts-by-hand"),
    ("numbers read off the rings before closing", "fit.read-back", "fit.bolts-by-hand"),
    ("witness line before closing", "fit.witness-line", "fit.bolts-by-hand"),
    ("by hand before the torque", "fit.bolts-by-hand", "fit.tightened"),
    ("flush again after the torque", "fit.tightened", "fit.flush-again"),
    ("tightened before drum or caliper hide it", "fit.tightened", "fit.drum-turns"),
    ("tightened before the disc", "fit.tightened", "fit.disc-central"),
    ("disc on before the bracket's bolts", "fit.disc-central", "fit.bracket-bolts"),
    ("line routed before the wheel", "fit.routed", "fit.wheel-on"),
    ("line bled with brakes back on", "fit.disc-central", "fit.line-bled"),
    ("line bled with drum back on", "fit.drum-turns", "fit.line-bled"),
    ("line bled before the pedal is pumped firm", "fit.line-bled", "fit.pedal"),
    ("pedal pumped after the wheels are on", "fit.wheel-on", "fit.pedal"),
    ("pedal pumped before it is lowered", "fit.pedal", "fit.lowered"),
    ("lowered before the wheel fasteners' torque", "fit.lowered", "fit.wheel-fasteners"),
    ("wheel fasteners before the chocks go", "fit.wheel-fasteners", "fit.chocks-away"),
    ("axle nut final before the chocks go", "fit.axle-nut-final", "fit.chocks-away"),
    ("chocks away before it is rolled", "fit.chocks-away", "check.settled"),
    ("plates free before it is rolled", "check.plates-free", "check.settled"),
    ("compensated again before reading", "check.compensation", "check.readings"),
    ("settled again before reading", "check.settled", "check.readings"),
    ("same load before reading", "check.same-load", "check.readings"),
    ("front after the rear", "check.readings", "finish.front"),
    ("steering-angle zero after the front", "finish.front", "finish.steering-angle"),
    ("brake test before the road test", "finish.brake-test", "finish.road-test-result"),
    ("slip, photo, signature", "finish.recheck-after", "finish.sign"),
    ("photo before the signature", "finish.photo", "finish.sign"),
]

HOLDS = {
    "vehicle.inspection-supported", "vehicle.under-supported", "vehicle.pair-fitted", "vehicle.removal-agreed",
    "choose.plan-stands", "choose.consent", "prepare.last-look", "fit.parts-ready", "fit.chocked", "fit.top-marked",
    "fit.high-voltage", "fit.supported", "fit.line-capped", "fit.hub-supported", "fit.hub-free", "fit.pair-out",
    "fit.faces", "fit.pilot", "fit.read-back", "fit.edge-whole", "fit.witness-line", "fit.bolt-length", "fit.hub-back",
    "fit.bare-bolts", "fit.tightened", "fit.spacers", "fit.bracket-bolts", "fit.axle-nut", "fit.line-bled",
    "fit.pedal", "fit.lowered", "fit.wheel-fasteners", "fit.axle-nut-final",
}  # fmt: skip

# Where a word of the clause must be said out loud: row, part, pattern in English. "going-in" is the head of a pause.
SAID = [
    ("vehicle.pair-fitted", "caution", "second pair"),
    ("vehicle.structure", "method", "bent, cracked, corroded"),
    ("vehicle.inspection-supported", "caution", "jack alone"),  # [HSE]
    ("vehicle.under-supported", "caution", "jack alone"),  # [HSE]
    ("vehicle.removal-agreed", "title", "removal"),
    ("prepare.opened", "title", "small bites.*bore outwards"),
    ("prepare.opened", "method", "flat on the bench.*rim left whole.*Doubtful ones last"),
    ("prepare.last-look", "caution", "cut for one position"),
    ("prepare.trial-fit", "title", "flange.*hub.*together"),
    ("fit.top-marked", "title", "ride height"),
    ("fit.chocked", "title", "front wheels, in front and behind"),  # [HSE]
    ("fit.supported", "title", "maker's points"),  # [HSE]
    ("fit.supported", "caution", "jack alone"),  # [HSE]
    ("fit.caliper-hung", "caution", "hose"),
    ("fit.leads-free", "method", "Ignition off"),
    ("fit.hub-supported", "method", "hose, pipe, cable or lead"),
    ("fit.hub-free", "title", "two bolts hold it.*by hand"),
    ("fit.hub-free", "method", "No heat near sensor or seal"),
    ("fit.hub-free", "caution", "slide hammer"),
    ("fit.pair-out", "title", "both of them"),
    ("fit.pair-out", "caution", "second pair"),
    ("fit.hub-back", "title", "No ring left in"),
    ("fit.bare-bolts", "caution", "bottom"),
    ("fit.line-bled", "title", "Maker's fluid.*bled.*no leak"),
    ("fit.faces", "method", "[Ss]traightedge"),
    ("fit.edge-whole", "title", "never through the ring"),
    ("fit.edge-whole", "caution", "Soft metal.*No gloves.*Eyes covered"),
    ("fit.edge-whole", "method", "nick or a crack"),
    ("fit.hub-supported", "title", "drive shaft too, not pulled apart"),
    ("fit.hub-supported", "caution", "shaft that hangs or is pulled"),
    ("fit.bolts-by-hand", "method", "[Ff]eeler"),
    ("fit.bracket-bolts", "title", "to torque, counted"),
    ("fit.lowered", "title", "nobody and nothing below"),
    ("fit.lowered", "method", "stands out"),
    ("fit.chocks-away", "title", "Parking brake on and holding"),
    ("fit.wheel-fasteners", "title", "on the ground"),
    ("finish.front", "why", "rear axle steers"),
    ("finish.wheel-speed", "title", "[Ll]ive speed"),
    ("finish.recheck-after", "title", "[Ss]lip handed over"),
    ("finish.recheck-after", "why", "Common practice.*locker are not retightened"),
    ("choose.consent", "method", "price range.*seized hub.*new bearing"),
]

# Said before the work of a pause begins: pause, pattern in English.
SAID_GOING_IN = [
    ("hub-off", "asbestos.*vacuum.*never blow"),  # [OSHA]
    ("hub-off", "pedal alone"),
    ("hub-off", "slide hammer"),
    ("old-rings", "Keep fingers"),
    ("stack", "fingers out|Keep fingers"),
    ("tight", "[Cc]ount them all"),
    ("brake", "pipe that rubs"),
]
