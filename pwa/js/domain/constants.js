// What calc and the phone both hold: limits, defaults, settings and words, by the module of calc that says why.
// Made by `python -m fixtures.make_constants`: change what it is made from, and run that.

// calc/numbers/quantities.py
/** of one wheel, in the order of every pair of numbers */
export const WHEEL_ANGLES = Object.freeze(["camber", "toe"]);
/** quantity -> (word where it is positive, word where it is negative); an angle's `way` is one of the two */
export const SIGN_WORDS = Object.freeze({
  "camber": ["top-out", "top-in"], "toe": ["in", "out"], "total-toe": ["in", "out"], "thrust": ["right", "left"],
  "cross-camber": ["more", "less"],
});

// calc/numbers/constants.py
/** A rear wheel that reads beyond this is broken, or the reading is: no ring pair comes near it (ours; no source). */
export const READING_LIMIT_MDEG = 20_000;
/** Default reading noise, below which differences do not decide (calc/README: Choosing). */
export const BAND_CAMBER_MDEG = 50;
export const BAND_TOE_MDEG = 30;
/** Default standard deviations (calc/README: Choosing). */
export const CAMBER_SD_MDEG = 50;
export const TOE_SD_MDEG = 30;
export const THRUST_SD_MDEG = 15;
export const CLOCK_SD_DEG = 2;
export const MARK_SD_STEPS = 0.15;
export const SEAT_SD_MDEG = 20;

// calc/numbers/units.py
export const UNITS = Object.freeze(["deg", "deg-min", "mm", "inch"]);
/** Of a wheel across which toe is measured: from a kart's rim to the longest toe bars (ours; no source) */
export const DIAMETER_MM_LOW = 100;
export const DIAMETER_MM_HIGH = 2000;

// calc/numbers/stats.py
/** how many readings' worth of weight the default spread has (design; a judgement, no source) */
export const PRIOR_READINGS = 4;

// calc/numbers/disagreeing.py
/** (3 sqrt 2)^2 */
export const APART_SDS_SQUARED = 18;

// calc/rings/rings.py
/** above it, swapping alike rings changes an angle by 1 mdeg or more */
export const SWAP_FREELY_TAPER_MDEG = 1500;

// calc/rings/composed.py
/** Within these, adding errs by less than 5 mdeg: each taper, base camber and base toe, either way (tested). */
export const ADDING_TAPER_MDEG = 1000;
export const ADDING_CAMBER_MDEG = 3000;
export const ADDING_TOE_MDEG = 1000;

// calc/rings/bolt_pattern.py
export const SLACK_MM = 1;
export const MOST_BOLTS = 24;

// calc/rings/cutting.py
export const CLEARANCE_MM = Object.freeze({ "8": 10, "10": 12, "12": 15, "14": 17, "16": 19 });

// calc/choose/choose_input.py
export const WANTS_RINGS = Object.freeze(["auto", "yes", "no"]);
export const RING_SETS_HIGH = 50;
export const SD_MDEG_HIGH = 5000;
export const BAND_MDEG_HIGH = 5000;
export const CLOCK_SD_DEG_HIGH = 45;
export const MARK_SD_STEPS_HIGH = 10;
export const DOUBTS_HIGH = 20;
export const DOUBT_CODE_LENGTH_HIGH = 60;
export const CHOOSE_KEYS = Object.freeze(["ring_sets", "wheels", "windows", "axle"]);
export const CHOOSE_KEYS_OPTIONAL = Object.freeze(["band", "spread", "untrusted", "put_in"]);

// calc/choose/wheel_aim.py
export const LEAST_HALF_WINDOW_MDEG = 50;
export const MOVED_IN_SDS = 2;

// calc/choose/plan_order.py
/** a fifth of the points: less chance than that pays neither for more pairs nor for a second ring set */
export const CLOSE_COUNT = 819;

// calc/choose/main_button.py
export const LEAST_CHANCE = 0.5;

// calc/choose/normal_points.py
export const POINTS = 4096;
export const HALTON_BASES = Object.freeze([2, 3, 5, 7]);
export const CENTRE_OVER = Object.freeze([
  3.3871328727963665, 133.14166789178438, 1971.5909503065513, 13731.69376550946, 45921.95393154987, 67265.7709270087,
  33430.57558358813, 2509.0809287301227,
]);
export const CENTRE_UNDER = Object.freeze([
  1, 42.31333070160091, 687.1870074920579, 5394.196021424751, 21213.794301586597, 39307.89580009271, 28729.085735721943,
  5226.495278852854,
]);
export const NEAR_OVER = Object.freeze([
  1.4234371107496835, 4.630337846156546, 5.769497221460691, 3.6478483247632045, 1.2704582524523684, 0.2417807251774506,
  0.022723844989269184, 0.0007745450142783414,
]);
export const NEAR_UNDER = Object.freeze([
  1, 2.053191626637759, 1.6763848301838038, 0.6897673349851, 0.14810397642748008, 0.015198666563616457,
  0.0005475938084995345, 1.0507500716444169e-09,
]);
export const FAR_OVER = Object.freeze([
  6.657904643501103, 5.463784911164114, 1.7848265399172913, 0.29656057182850487, 0.026532189526576124,
  0.0012426609473880784, 2.7115555687434876e-05, 2.0103343992922881e-07,
]);
export const FAR_UNDER = Object.freeze([
  1, 0.599832206555888, 0.1369298809227358, 0.014875361290850615, 0.0007868691311456133, 1.8463183175100548e-05,
  1.421511758316446e-07, 2.0442631033899397e-15,
]);

// calc/choose/base_reading.py
export const EDGE_SDS = 2;
export const SAFE_SDS = 1;

// calc/choose/advice.py
export const TOE_APART_MDEG = 400;
export const CAMBER_NEED_APART_MDEG = 500;
export const CAMBER_APART_MDEG = 600;
export const ALIKE_MDEG = 300;
export const USUAL_CAMBER_MDEG = 2000;
export const USUAL_TOE_MDEG = 1000;

// calc/choose/askew.py
/** one length, tape or trammel between hub centres: common practice, no source */
export const LENGTH_SD_MM = 2;
export const LENGTH_SD_MM_HIGH = 50;
export const TRACK_MM_LOW = 500;
export const TRACK_MM_HIGH = 4000;
export const LENGTH_MM_LOW = 1000;
export const LENGTH_MM_HIGH = 12_000;
/** a difference above a quarter of the track is a slip in reading or typing */
export const LENGTHS_APART_SHARE = 4;
export const CLEAR_SDS = 2;

// calc/fit/engagement.py
export const WANTED_DIAMETERS = Object.freeze({ "steel": 1, "iron": 1.5, "aluminium": 2 });

// calc/fit/threads.py
/** Nominal diameter and pitch, ISO 261 / ISO 262 (coarse first, then the fine pitches in use on hubs). */
export const COARSE_PITCH_MM = Object.freeze({ "8": 1.25, "10": 1.5, "12": 1.75, "14": 2, "16": 2 });
export const FINE_PITCHES_MM = Object.freeze({
  "8": [1], "10": [1.25, 1], "12": [1.5, 1.25], "14": [1.5], "16": [1.5],
});
/** Stress under proof load by property class, ISO 898-1, for diameters up to 16 mm. Class 8.8: 580 MPa up to 16 mm. */
export const PROOF_STRESS_MPA = Object.freeze({ "8.8": 580, "9.8": 650, "10.9": 830, "12.9": 970 });
export const STRESS_DIAMETER_PITCHES = 0.938194;

// calc/fit/torque.py
/** 0.3048 m × 4.4482216152605 N: the international foot and pound-force are exact by definition (NIST SP 811, B.8). */
export const NM_PER_LBF_FT = 1.3558179483314003;
/** unit -> its name, by which a person says what the source prints behind the figure */
export const TORQUE_UNIT_NAMES = Object.freeze({ "N·m": "newton-metres", "lbf·ft": "pound-force-feet" });
export const NUT_FACTOR_LOWEST = 0.12;
export const NUT_FACTOR_HIGHEST = 0.2;
export const PROOF_SHARE_LOWEST = 0.5;
export const PROOF_SHARE_HIGHEST = 0.9;

// calc/fit/tightening.py
/** Hand-tight, then three stages: common practice, no source. The last stage is the typed torque itself. */
export const STAGE_SHARES = Object.freeze([0.3, 0.7, 1]);

// calc/fit/spacers.py
/** How far a bracket may be off before it strains its sliding pins (common practice, no source). */
export const SPACER_TOLERANCE_UM = 100;

// calc/fit/gate.py
/** less left in its bore than this is a warning (common practice, no source) */
export const PILOT_DEPTH_MM = 2;
/** Solid ring that must be left outside a clearance, so that the rim stays whole (common practice, no source). */
export const RIM_MM = 4;
/** How much smaller or wider than the flange a ring may be without a word (common practice, no source). */
export const FLANGE_STEP_MM = 2;

// calc/fit/fit_input.py
export const VEHICLE_CHOICES = Object.freeze({
  "mounting": ["bolt-on-unit", "bolt-on-stub", "one-piece", "driven"], "driven": ["both-allow", "not-both"],
  "ring_place": ["inboard-of-plate", "outboard-of-plate", "no-plate", "hub-to-wheel"], "pilot": ["pilot", "no-pilot"],
  "sensor": ["none", "with-hub", "on-axle"], "brake": ["drum", "disc", "disc-drum"],
  "bracket": ["outboard-of-ear", "moves-with-hub", "inboard-of-ear"],
});
/** lowest and highest that can be meant */
export const VEHICLE_LENGTHS_MM = Object.freeze({
  "pilot_diameter_mm": [5, 500], "pilot_length_mm": [0, 200], "flange_bore_mm": [5, 500], "sensor_gap_mm": [0, 20],
  "sensor_gap_most_mm": [0, 20], "flange_diameter_mm": [10, 1000], "tyre_radius_mm": [50, 1000],
  "arch_gap_mm": [0, 500],
});
export const MOST_LUGS = 4;
/** lines of spacers */
export const MOST_STOCK = 12;

// calc/prove/prove_input.py
export const MOST_RING_SETS = 50;

// calc/prove/causes.py
export const AS_PLANNED = "as-planned";
export const BETWEEN_FACES = "between-faces";
export const THIN_DIRT = "thin-dirt";
/** beyond this, two marks are not mistaken for one another by eye */
export const MARKS_OFF = Object.freeze([-3, -2, -1, 1, 2, 3]);
export const PAIR_MARKS_OFF = Object.freeze([-3, -2, -1, 1, 2, 3]);
/** Where nobody measured it: how far an arm may turn between hanging and ride height (common practice, no source). */
export const DROOPS_DEG = Object.freeze([4, 8, 12, 16, 20, 24]);
/** a given droop is taken by eye, so a fifth either way */
export const DROOP_SHARES = Object.freeze([0.8, 1, 1.2]);
/** Where nobody measured the bolts, the pattern may be one of three, four or five (common practice, no source). */
export const USUAL_TURNS_DEG = Object.freeze([72, 90, 120, 144, 180, 216, 240, 270, 288]);
export const DIRT_MM = Object.freeze([0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.8, 1]);
export const DIRT_CLOCKS = 24;
export const DIRT_APART_MDEG = 25;
export const DIGITS_UPSIDE_DOWN = Object.freeze({ "0": "0", "1": "1", "6": "9", "8": "8", "9": "6" });

// calc/prove/toe_slips.py
/** Toe recorded / toe meant: minutes as hundredths of a degree and back; total toe as one wheel's and back. */
export const TOE_UNIT_FACTORS = Object.freeze({
  "hundredths-read-as-minutes": 1.6666666666666667, "minutes-read-as-hundredths": 0.6, "total-for-one-wheel": 2,
  "one-wheel-for-total": 0.5,
});
/** Millimetres as degrees and back, at diameters from a small rim's flange to a tyre's (common practice, no source). */
export const TOE_DIAMETERS_MM = Object.freeze([330, 380, 440, 510, 590, 680]);
/** The unit in which a slip must have been typed; one that is not here may be in any. */
export const SLIP_TYPED_IN = Object.freeze({
  "hundredths-read-as-minutes": "deg-min", "minutes-read-as-hundredths": "deg", "millimetres-for-degrees": "deg",
  "degrees-for-millimetres": "mm",
});
export const MISREAD_READINGS = Object.freeze(["base", "check", "both"]);

// calc/prove/explain.py
/** A cause explains a reading unless so large a distance would come about less than once in a thousand fittings. */
export const LEAST_EXPLAINS = 0.001;
/** Causes within this ratio of the best of them are named together. */
export const TOGETHER_RATIO = 0.03;
export const AS_PLANNED_WEIGHT = 3;
export const BETWEEN_FACES_WEIGHT = 2;
export const NEAR_PLAN_SDS = 2;
/** From this share on a cause is called most likely: at most two are (ours, no source). */
export const MOST_LIKELY_SHARE = 0.4;
export const BETWEEN_FACES_SD_MDEG = 500;

// calc/prove/prove.py
/** a planned change, or a miss, below this many SD has no size or direction to speak of */
export const SDS_TO_SPEAK = 3;
/** Causes that no number can name, to be looked at whenever the reading is not what was planned. */
export const LOOK_AT = Object.freeze([
  "pilot-binding", "uneven-tightening", "compensation-skipped", "load-or-height-changed", "bearing-play", "worn-bush",
]);
