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
    ("old rings out before base readings", "vehicle.pair-removed", "base.readings"),
    ("old marks read before the old rings move", "vehicle.pair-marks", "vehicle.removal-hub-carried"),
    ("the customer agreed before old rings come out", "vehicle.removal-agreed", "vehicle.removal-chocked"),
    ("chocked before lifting to take old rings out", "vehicle.removal-chocked", "vehicle.removal-stands"),  # [HSE]
    ("on stands before old rings come out", "vehicle.removal-stands", "vehicle.removal-hub-carried"),  # [HSE]
    ("hub carried before old rings come out", "vehicle.removal-hub-carried", "vehicle.pair-removed"),
    ("pedal firm after old rings came out", "vehicle.pair-removed", "vehicle.removal-pedal"),
    ("pedal firm before it is rolled to be read", "vehicle.removal-pedal", "base.compensation"),
    ("room at the arch known before choosing", "vehicle.tyre-radius", "vehicle.can-rings-go-in"),
    ("can rings go in before choosing", "vehicle.can-rings-go-in", "choose.plan"),
    ("damage looked for before choosing", "vehicle.structure", "choose.plan"),
    ("base compensated before it is read", "base.compensation", "base.readings"),
    ("base settled before it is read", "base.settled", "base.readings"),
    ("consent before anything is taken apart", "choose.consent", "fit.wheel-off"),
    ("single-use parts at hand first", "choose.single-use", "fit.wheel-off"),
    ("rings named L or R before cutting", "prepare.named", "prepare.opened"),
    ("trial fit before cutting", "prepare.trial-fit", "prepare.opened"),
    ("last look before cutting", "prepare.last-look", "prepare.opened"),
    ("eye protection before cutting", "prepare.eyes", "prepare.opened"),
    ("cracks looked for after cutting", "prepare.opened", "prepare.whole"),
    ("torque known before anything is taken apart", "fit.torque", "fit.wheel-off"),
    ("top marked at ride height, before lifting", "fit.top-marked", "fit.lifted"),
    ("level rested at ride height, before lifting", "fit.level-ride", "fit.lifted"),
    ("level rested again before the rings", "fit.level-hanging", "fit.rings-in"),
    ("bolts and spacers known before cutting", "prepare.needs", "prepare.opened"),
    ("chocked before the parking brake is released", "fit.chocked", "fit.brake-released"),  # [HSE]
    ("chocked before service mode opens an electric one", "fit.chocked", "fit.service-mode"),
    ("service mode before the key goes away", "fit.service-mode", "fit.key-away"),
    ("key away before lifting", "fit.key-away", "fit.lifted"),
    ("high-voltage instructions before lifting", "fit.high-voltage", "fit.lifted"),
    ("fasteners eased while the wheels stand on the ground", "fit.eased", "fit.lifted"),  # common practice, no source
    ("fasteners eased behind chocks", "fit.chocked", "fit.eased"),  # common practice, no source
    ("lifted, then shaken", "fit.lifted", "fit.supported"),
    ("supported before the heads come off", "fit.supported", "fit.heads-off"),
    ("heads off before the wheel", "fit.heads-off", "fit.wheel-off"),
    ("supported before the wheel comes off", "fit.supported", "fit.wheel-off"),  # [HSE]
    ("caliper hung before the leads are unclipped", "fit.caliper-hung", "fit.leads-free"),
    ("drum off before the leads are unclipped", "fit.drum-off", "fit.leads-free"),
    ("leads free before the hub moves", "fit.leads-free", "fit.hub-bolts"),
    ("hub carried before the hub bolts", "fit.hub-supported", "fit.hub-bolts"),
    ("stuck hub eased while bolts hold it", "fit.hub-bolts", "fit.hub-free"),
    ("last bolts only after the hub is free", "fit.hub-free", "fit.last-bolts"),
    ("an earlier round's rings out when the hub is free", "fit.last-bolts", "fit.pair-out"),
    ("an earlier round's rings out before anything goes in", "fit.pair-out", "fit.rings-in"),
    ("faces flat before the rings", "fit.faces", "fit.rings-in"),
    ("faces flat before the bare hub goes back", "fit.faces", "fit.hub-back"),
    ("no ring left in before the bolts", "fit.hub-back", "fit.bare-bolts"),
    ("bolts of the bare stack before they go in", "fit.bare-bolts", "fit.bolts-by-hand"),
    ("pilot seen before the rings", "fit.pilot", "fit.rings-in"),
    ("lead joined before the hub closes", "fit.lead-joined", "fit.bolts-by-hand"),
    ("touching pipe looked for before closing", "fit.touches", "fit.bolts-by-hand"),
    ("an eased ring looked at before the hub closes", "fit.edge-eased", "fit.edge-whole"),
    ("an eased ring whole before closing", "fit.edge-whole", "fit.bolts-by-hand"),
    ("witness line before closing", "fit.witness-line", "fit.bolts-by-hand"),
    ("by hand, then flush", "fit.bolts-by-hand", "fit.flush"),
    ("flush before the torque", "fit.flush", "fit.tightened"),
    ("tightened before drum or caliper hide it", "fit.tightened", "fit.drum-turns"),
    ("tightened before the disc", "fit.tightened", "fit.disc-central"),
    ("line routed before the wheel", "fit.routed", "fit.wheel-on"),
    ("line bled with brakes back on", "fit.disc-central", "fit.line-bled"),
    ("line bled with drum back on", "fit.drum-turns", "fit.line-bled"),
    ("line bled before the wheel", "fit.line-bled", "fit.wheel-on"),
    ("position seen before the wheel hides it", "fit.position-seen", "fit.wheel-on"),
    ("pedal pumped after the wheels are on", "fit.wheel-on", "fit.pedal"),
    ("pedal pumped before the vehicle stands and moves", "fit.pedal", "fit.wheel-fasteners"),
    ("pedal pumped before it is rolled", "fit.pedal", "check.settled"),
    ("pedal pumped before it is lowered", "fit.pedal", "fit.lowered"),
    ("lowered before the wheel fasteners' torque", "fit.lowered", "fit.wheel-fasteners"),
    ("wheel fasteners before the chocks go", "fit.wheel-fasteners", "fit.chocks-away"),
    ("chocks away before it is rolled", "fit.chocks-away", "check.settled"),
    ("wheel fasteners before it is rolled", "fit.wheel-fasteners", "check.settled"),
    ("compensated again before reading", "check.compensation", "check.readings"),
    ("settled again before reading", "check.settled", "check.readings"),
    ("same load before reading", "check.same-load", "check.readings"),
    ("front after the rear", "check.readings", "finish.front"),
    ("steering wheel after the front", "finish.front", "finish.steering-wheel"),
    ("steering-angle zero after the wheel is straight", "finish.steering-wheel", "finish.steering-angle"),
    ("brake test before the road test", "finish.brake-test", "finish.road-test"),
    ("slip, photo, signature", "finish.recheck-slip", "finish.sign"),
    ("photo before the signature", "finish.photo", "finish.sign"),
]

HOLDS = {
    "vehicle.pair-fitted", "vehicle.removal-agreed", "vehicle.removal-chocked", "vehicle.removal-stands",
    "vehicle.removal-hub-carried", "vehicle.pair-removed", "vehicle.removal-pedal", "choose.consent",
    "prepare.last-look", "fit.top-marked", "fit.chocked", "fit.supported", "fit.hub-supported", "fit.hub-free",
    "fit.faces", "fit.pilot", "fit.edge-whole", "fit.witness-line", "fit.line-bled", "fit.pedal",
    "fit.pair-out", "fit.hub-back", "fit.bare-bolts", "fit.lowered", "fit.wheel-fasteners",
}  # fmt: skip

# Where a word of the clause must be said out loud: step, part, pattern in English.
SAID = [
    ("vehicle.pair-fitted", "caution", "second pair"),
    ("vehicle.pair-marks", "detail", "unreadable"),
    ("vehicle.structure", "title", "bent, cracked or corroded"),
    ("prepare.last-look", "detail", "cut for one position"),
    ("prepare.opened", "title", "small bites.*bore outwards"),
    ("prepare.opened", "detail", "flat on the bench.*rim left whole.*Doubtful ones last"),
    ("prepare.trial-fit", "title", "flange alone.*hub alone.*together"),
    ("fit.top-marked", "title", "ride height"),
    ("fit.chocked", "title", "front wheels, in front and behind"),  # [HSE]
    ("fit.lifted", "title", "maker's points"),  # [HSE]
    ("fit.supported", "caution", "jack alone"),  # [HSE]
    ("fit.wheel-off", "title", "vacuum or wet.*never blow"),  # [OSHA]
    ("fit.wheel-off", "detail", "HEPA"),  # [OSHA]
    ("fit.wheel-off", "caution", "asbestos.*No air line, no dry brush"),  # [OSHA]
    ("fit.drum-off", "caution", "pedal alone"),
    ("fit.caliper-hung", "caution", "hose.*Pedal not touched"),
    ("vehicle.removal-agreed", "title", "removal, and to its price"),
    ("vehicle.removal-stands", "caution", "jack alone"),  # [HSE]
    ("vehicle.removal-hub-carried", "detail", "hose, pipe, cable or lead.*never blown"),  # [OSHA]
    ("vehicle.removal-pedal", "title", "pedal firm"),
    ("fit.leads-free", "title", "ignition off"),
    ("fit.hub-supported", "detail", "hose, pipe, cable or lead"),
    ("fit.hub-bolts", "title", "count the turns"),
    ("fit.hub-free", "detail", "No heat near sensor or seal"),
    ("fit.hub-free", "caution", "slide hammer"),
    ("fit.last-bolts", "title", "two bolts out by hand"),
    ("fit.pair-out", "title", "both of them"),
    ("fit.pair-out", "caution", "second pair"),
    ("fit.hub-back", "title", "No ring left in"),
    ("fit.bare-bolts", "caution", "bottom"),
    ("fit.line-bled", "title", "Maker's fluid.*bled.*no leak"),
    ("fit.faces", "title", "straightedge"),
    ("fit.edge-eased", "title", "never through the ring"),
    ("fit.edge-eased", "caution", "Soft metal.*No gloves"),
    ("fit.bolts-by-hand", "detail", "single-use"),
    ("fit.flush", "title", "feeler"),
    ("fit.tightened", "title", "in stages, to the typed torque"),
    ("fit.disc-central", "title", "Count the bracket bolts"),
    ("fit.lowered", "title", "Nobody and nothing below, stands out.*slowly"),
    ("fit.chocks-away", "title", "Parking brake on.*hold"),
    ("vehicle.removal-pedal", "caution", "below"),
    ("fit.wheel-fasteners", "title", "on the ground"),
    ("finish.front", "detail", "rear axle steers"),
    ("finish.wheel-speed", "title", "live speed"),
    ("finish.recheck-slip", "title", "50 to 100 km"),
    ("finish.recheck-slip", "detail", "Common practice.*locker are not retightened"),
    ("choose.consent", "detail", "price range.*seized hub.*new bearing"),
]
