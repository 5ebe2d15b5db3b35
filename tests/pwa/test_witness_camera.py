"""The photo of the fitted rings: from a camera's stream in the program, judged before it is kept, read by touches."""

import pytest
from camera_phone import LIVE, MARK, SLOT, CameraPhone, camera_file, camera_flags, filmed
from playwright.sync_api import expect
from screen_checks import assert_clean
from seeded_phone import RING_SETS

from calc.rings.rings import RingSet

OUTER = RingSet.from_json(RING_SETS[-1]).outer


@pytest.fixture(scope="module")
def seen():
    return filmed(OUTER)


@pytest.fixture(scope="module")
def with_camera(chromium, launch_options, seen, tmp_path_factory):
    """A browser whose camera sees the ring as it is planned, sharp."""
    film = camera_file(seen.picture(), tmp_path_factory.mktemp("film") / "sharp.y4m")
    browser = chromium.launch(**launch_options, args=camera_flags(film))
    yield browser
    browser.close()


@pytest.fixture
def phone(with_camera, origin):
    phone = CameraPhone(with_camera, origin)
    yield phone
    phone.close()


def test_a_sharp_picture_is_kept_by_one_tap_and_the_camera_stops(phone):
    phone.take()
    expect(phone.driver.row(SLOT).locator(".photos img")).to_have_count(1)
    expect(phone.key("witness-camera")).to_have_count(0)
    assert phone.page.evaluate("() => window.streams.length") == 1
    assert phone.page.evaluate(LIVE) == 0
    [photo] = phone.photos()
    assert (photo["about"], photo["width"], photo["mime"]) == (SLOT, 1600, "image/jpeg")
    assert phone.driver.state(SLOT) == "done"


@pytest.mark.full
def test_five_touches_say_that_the_picture_agrees_and_undo_takes_it_back(phone, seen):
    phone.take()
    phone.begin("outside")
    expect(phone.key("picture-dialog").locator(".rim-strip")).to_be_visible()
    phone.touch_all(seen)
    expect(phone.key("picture-agrees")).to_contain_text(f"OUTER ring, mark {MARK} at the line")
    [value] = phone.readings()
    read = value["picture_read"]
    assert (read["said"]["mark"], read["said"]["face"], read["planned"]) == (MARK, "as-planned", [MARK])
    assert len(read["marks"]) == 4
    assert read["size"] == [1600, 1200]
    phone.show("report")
    expect(phone.key("report").locator(".report-read")).to_contain_text("The picture agrees with the plan")
    phone.show(f"sheet/wheel.left/{SLOT}")
    phone.driver.tap("undo-last")
    expect(phone.key("picture-agrees")).to_have_count(0)
    expect(phone.key("picture-read-1")).to_be_visible()


@pytest.mark.full
def test_from_the_wrong_side_the_same_touches_do_not_agree(phone, seen):
    """From behind it would be the inner ring, whose numbers run the other way round there."""
    phone.take()
    phone.begin("behind")
    phone.touch_all(seen)
    expect(phone.key("picture-differs")).to_contain_text("INNER ring")
    [value] = phone.readings()
    assert value["picture_read"]["said"]["verdict"] == "differs"
    row = phone.driver.row(SLOT)
    expect(row.locator('[data-key="warning"]')).to_contain_text("Look at the rings again")
    assert phone.driver.state(SLOT) == "done", "it holds nothing"
    phone.begin("outside")
    phone.touch_all(seen)
    expect(phone.key("picture-agrees")).to_be_visible()
    expect(row.locator('[data-key="warning"]')).to_have_count(0)


@pytest.mark.full
def test_numbers_out_of_view_are_passed_over_and_a_touch_is_taken_anew(phone, seen):
    rim = OUTER.outer_diameter_mm / 2
    phone.take()
    phone.begin("outside")
    phone.touch((200, 200))  # not where the line is
    phone.press("touch-back")
    expect(phone.key("touch-asked")).to_contain_text("1 of 5")
    phone.touch(seen.pixel(seen.line_angle, rim))
    first = phone.asked
    phone.press("touch-skip")
    expect(phone.key("touch-asked")).not_to_have_text(first)
    second = int(phone.asked.split()[-1])
    assert second != int(first.split()[-1])
    phone.touch(seen.pixel(seen.angle(second), rim))
    for step in (3, 4):
        expect(phone.key("touch-asked")).to_contain_text(f"{step} of 5")
        phone.touch(seen.pixel(seen.angle(int(phone.asked.split()[-1])), rim))
    phone.skip_rest()  # the last quarter is hidden: three numbers and the line are enough
    expect(phone.key("picture-agrees")).to_be_visible()
    assert len(phone.readings()[0]["picture_read"]["marks"]) == 3


@pytest.mark.full
def test_touches_that_are_nowhere_near_a_rim_cannot_tell(phone):
    phone.take()
    phone.begin("outside")
    for place in ((200, 200), (1400, 250), (1300, 1000), (240, 900), (700, 700)):
        phone.touch(place)
    expect(phone.key("picture-cannot-tell")).to_contain_text("Cannot tell from this picture")


@pytest.mark.full
def test_the_cross_is_moved_and_set_by_the_keyboard(phone):
    phone.take()
    phone.begin("outside")
    for key in ("ArrowRight", "Shift+ArrowDown", "ArrowUp", "ArrowLeft", "Enter"):
        phone.page.keyboard.press(key)
    expect(phone.key("touch-asked")).to_contain_text("2 of 5")
    phone.page.keyboard.press("Escape")
    expect(phone.key("picture-dialog")).to_have_count(0)
    assert phone.readings() == []


@pytest.mark.full
def test_a_camera_that_is_hidden_or_left_stops(phone):
    phone.open_camera()
    expect(phone.key("camera-take")).to_be_visible()
    assert phone.page.evaluate(LIVE) == 1
    phone.page.evaluate(
        "() => { Object.defineProperty(document, 'visibilityState', { value: 'hidden', configurable: true });"
        " document.dispatchEvent(new Event('visibilitychange')); delete document.visibilityState; }"
    )
    expect(phone.key("witness-camera")).to_have_count(0)
    assert phone.page.evaluate(LIVE) == 0
    phone.open_camera()
    expect(phone.key("camera-take")).to_be_visible()
    phone.press("camera-close")
    expect(phone.key("witness-camera")).to_have_count(0)
    assert phone.page.evaluate(LIVE) == 0
    assert phone.photos() == []


@pytest.mark.full
def test_camera_and_picture_can_be_used_by_everybody(phone):
    """Names, contrast in every theme, targets of 56 px, nothing beyond the edge, at 360 and at 320 px."""
    phone.open_camera()
    expect(phone.key("camera-take")).to_be_visible()
    assert_clean(phone.driver, "camera")
    phone.press("camera-take")
    phone.begin("outside")
    assert_clean(phone.driver, "picture")


@pytest.mark.full
def test_from_the_camera_the_way_leads_to_the_phones_own(phone):
    phone.open_camera()
    with phone.page.expect_file_chooser():
        phone.press("camera-own")
    assert phone.page.evaluate(LIVE) == 0


@pytest.mark.full
def test_blur_and_glare_are_said_before_and_the_picture_is_taken_again_or_kept(
    chromium, launch_options, origin, seen, tmp_path
):
    film = camera_file(seen.picture(blur_px=6, glare=1.5), tmp_path / "blurred.y4m")
    browser = chromium.launch(**launch_options, args=camera_flags(film))
    try:
        phone = CameraPhone(browser, origin)
        phone.take()
        expect(phone.key("flaw-blurred")).to_contain_text("Blurred at the rim")
        expect(phone.key("flaw-glare")).to_contain_text("reflection")
        phone.press("camera-again")
        expect(phone.key("flaw-blurred")).to_have_count(0)
        phone.press("camera-take")
        phone.press("camera-keep")
        expect(phone.driver.row(SLOT).locator(".photos img")).to_have_count(1)
        phone.close()
    finally:
        browser.close()


def test_where_the_camera_is_refused_the_phones_own_takes_the_picture(chromium, launch_options, origin, seen, tmp_path):
    film = camera_file(seen.picture(), tmp_path / "sharp.y4m")
    browser = chromium.launch(**launch_options, args=camera_flags(film, allowed=False))
    try:
        phone = CameraPhone(browser, origin)
        phone.open_camera()
        expect(phone.key("camera-refused")).to_contain_text("may not use the camera")
        with phone.page.expect_file_chooser():
            phone.press("camera-own")
        with phone.page.expect_file_chooser():
            phone.open_camera()  # from now on by one tap, as on a phone without a camera for pages
        phone.close()
    finally:
        browser.close()


@pytest.mark.full
def test_the_servers_own_headers_let_the_program_use_the_camera(with_camera, url):
    """Permissions-Policy and Content-Security-Policy as they are served: a stream is got and plays."""
    context = with_camera.new_context()
    page = context.new_page()
    answer = page.goto(url)
    assert "camera=(self)" in answer.headers["permissions-policy"]
    width = page.evaluate(
        """async () => {
          const stream = await navigator.mediaDevices.getUserMedia({ video: true });
          const video = Object.assign(document.createElement("video"), { muted: true, srcObject: stream });
          await video.play();
          stream.getTracks().forEach((track) => track.stop());
          return video.videoWidth;
        }"""
    )
    assert width > 0
    context.close()
