// What calc and the phone both hold of reading a picture of the fitted rings; it comes when a picture is read.
// Made by `python -m fixtures.make_constants`: change what it is made from, and run that.

// calc/picture/rim_fit.py
export const TOUCH_SD_MM = 1;
export const FOCAL_SHARE = 0.8;
/** how slanted the rim is looked at; one touch more, so that five touches bear a slip */
export const TILT_SD_DEG = 12;
/** radians */
export const START_TILTS = Object.freeze([[0, 0], [0.2, 0], [-0.2, 0], [0, 0.2], [0, -0.2]]);
export const ROUNDS = 25;
/** of a parameter, to take differences by */
export const STEP = 1e-05;
/** roll, two tilts, place (3), the line's angle */
export const UNKNOWNS = 7;

// calc/picture/read_picture.py
export const VIEWS = Object.freeze(["outside", "behind"]);
export const LEAST_MARKS = 3;
export const MOST_MARKS = 4;
export const MOST_PIXELS = 20_000;
/** The line against the mark that it is painted at, SD in steps: as two marks are lined up (calc/README: Choosing). */
export const LINE_SD_STEPS = 0.15;
/** squared touch SDs with 3 degrees of freedom; 16.3 would be one good picture in a thousand */
export const MOST_MISFIT = 27;
/** by how much the other way round must fit worse */
export const LEAST_APART = 25;
export const MOST_TILT_DEG = 40;
/** share of one mark among all, from which on it is said */
export const SURE = 0.8;
/** a mark with less than this share does not stand there */
export const RULED_OUT = 0.01;

// calc/picture/quality.py
export const WORKING_PX = 800;
/** Numbers 4.6 mm high are read down to 0.02 and no more at 0.012. A blurred picture that is dim and grainy passes. */
export const LEAST_SHARPNESS = 0.018;
/** share of the rim */
export const MOST_GLARE = 0.05;
/** from here on nothing can be read */
export const CLIPPED = 250;
/** of the rim's radius: where marks and numbers stand */
export const RIM_FROM = 0.6;
export const RIM_TO = 1.05;
