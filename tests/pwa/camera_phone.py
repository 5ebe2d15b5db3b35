"""A phone whose camera shows a rendered picture of fitted rings: the fake device of Chromium, fed from a file."""

from pathlib import Path
from random import Random

import numpy as np
from PIL import Image
from sheets_phone import SheetsPhone

from calc.rings.rings import Ring, marked_face
from tests.calc.rendered_rim import HEIGHT, WIDTH, Seen

SLOT = "fit.left.witness-line"
MARK = 21  # of the outer ring, as the jobs of these tests plan it
# Keeps what the page got of the camera.
WATCHED = """() => {
  const devices = navigator.mediaDevices;
  const asked = devices.getUserMedia.bind(devices);
  window.streams = [];
  devices.getUserMedia = async (wanted) => {
    const stream = await asked(wanted);
    window.streams.push(stream);
    return stream;
  };
}"""
LIVE = "() => window.streams.flatMap((one) => one.getTracks()).filter(({ readyState }) => readyState === 'live').length"
_ASKED_ELSE = "(words) => document.querySelector('[data-key=touch-asked]')?.innerText !== words"
_SETTLED = "() => document.querySelector('.touch-pane.settled')?.querySelector('img').naturalWidth > 0"


def filmed(ring: Ring, at_line: int = MARK) -> Seen:
    """Return the outer ring of a left wheel, seen from outside, its rim on the camera's guide."""
    looks = marked_face(ring, "left")
    seen = Seen(Random(7), ring, at_line, 1 if (looks == "outboard") == (ring.direction == "clockwise") else -1)
    seen.off_steps, seen.focal_px = 0.0, 1250.0
    seen.place = np.array([4.0, -3.0, seen.focal_px * ring.outer_diameter_mm / 2 / (0.33 * HEIGHT)])
    return seen


def camera_file(picture: Image.Image, path: Path) -> Path:
    """Write one frame as a film that Chromium plays over and over (YUV4MPEG2, 4:2:0). Width and height must be even."""
    width, height = picture.size
    luminance, blue, red = (np.asarray(plane) for plane in picture.convert("YCbCr").split())
    planes = (luminance, blue[::2, ::2], red[::2, ::2])
    head = f"YUV4MPEG2 W{width} H{height} F5:1 Ip A1:1 C420jpeg\n".encode()
    path.write_bytes(head + b"FRAME\n" + b"".join(plane.tobytes() for plane in planes))
    return path


def camera_flags(film: Path, *, allowed: bool = True) -> list[str]:
    """Return the flags of a Chromium whose only camera plays `film`; nobody is asked whether a page may use it."""
    return [
        "--use-fake-device-for-media-stream",
        f"--use-fake-ui-for-media-stream{'' if allowed else '=deny'}",
        f"--use-file-for-fake-video-capture={film}",
    ]


class CameraPhone(SheetsPhone):
    """A phone at the row of the photo of the fitted rings, left wheel."""

    def __init__(self, browser, origin, **options):
        super().__init__(browser, origin, SLOT, **options)
        self.page.evaluate(WATCHED)
        self.show(f"sheet/wheel.left/{SLOT}")
        self.key = self.driver.key

    def press(self, key: str) -> None:
        self.driver.tap_node(self.key(key))

    def open_camera(self) -> None:
        self.driver.tap_node(self.driver.row(SLOT).locator('[data-key="camera"]'))

    def take(self) -> None:
        self.open_camera()
        self.page.wait_for_function("() => document.querySelector('[data-key=camera-video]')?.videoWidth > 0")
        self.press("camera-take")

    def begin(self, view: str) -> None:
        self.press("picture-read-1")
        self.press(f"view-{view}")
        self.page.wait_for_function(_SETTLED)

    def touch(self, place, *, slide: tuple[float, float] = (0, 0)) -> None:
        """Touch a place of the picture; `slide` first puts the finger so far beside it and then slides there."""
        box = self.key("touch-picture").bounding_box()
        x = box["x"] + place[0] / WIDTH * box["width"]
        y = box["y"] + place[1] / HEIGHT * box["height"]
        mouse = self.page.mouse
        mouse.move(x - slide[0] / 4, y - slide[1] / 4)
        mouse.down()
        mouse.move(x - slide[0] / 4 + slide[0], y - slide[1] / 4 + slide[1])
        mouse.up()

    @property
    def asked(self) -> str:
        return self.key("touch-asked").inner_text()

    def touch_all(self, seen: Seen) -> None:
        """Touch what is asked for, one after the other, where it stands in the picture."""
        rim = seen.ring.outer_diameter_mm / 2
        self.touch(seen.pixel(seen.line_angle, rim))
        for step in range(2, 6):
            words = self.asked
            assert words.startswith(f"{step} of 5"), words
            self.touch(seen.pixel(seen.angle(int(words.split()[-1])), rim), slide=(12, -8))

    def skip_rest(self) -> None:
        """Say of each number that is still asked for that it is not in view."""
        while self.key("touch-skip").count():
            words = self.asked
            self.press("touch-skip")
            self.page.wait_for_function(_ASKED_ELSE, arg=words)

    def photos(self) -> list[dict]:
        return [each["body"] for each in self.bodies("photo-attached") if each["body"]["about"] == SLOT]

    def readings(self) -> list:
        return [each["body"]["value"] for each in self.bodies("field-set") if ".picture." in each["slot"]]
