"""Every *.test.js module of this folder is one test here; it fails with the name and text of each failure.

The modules run in Chromium under the product's content security policy, each in a page where nothing is stored.
"""

from pathlib import Path

import pytest
from used_phones import give_back, take_phone

FOLDER = Path(__file__).parent
MODULES = sorted(str(file.relative_to(FOLDER)) for file in FOLDER.rglob("*.test.js"))

RUN = """async (module) => {
    const harness = await import("/tests/harness.js");
    await import(module);
    return harness.run();
}"""


@pytest.fixture
def page(browser, origin):
    context, page = take_phone(browser, origin)
    yield page
    give_back(context)


def run_module(page, origin: str, url: str) -> dict:
    """Run one module; return {count, failures, outside}: `outside` are the errors that the page did not catch."""
    page.goto(f"{origin}/tests/run.html")
    return {**page.evaluate(RUN, url), "outside": page.context.page_errors}


def told(report: dict) -> str:
    """Return the failures of a report as text, empty when there are none."""
    failures = [f"{failure['name']}\n{failure['text']}" for failure in report["failures"]]
    if not failures:  # the harness already names the test in which a stray error came up
        failures = [f"outside any test\n{text}" for text in report["outside"]]
    if report["count"] == 0:
        failures.append("the module registers no test: expected at least one test(name, body)")
    return "\n\n".join(failures)


@pytest.mark.parametrize("module", MODULES)
def test_module(page, origin, module):
    report = run_module(page, origin, f"/tests/{module}")
    if text := told(report):
        pytest.fail(f"{module}: {text}", pytrace=False)


def test_some_module_is_found():
    assert "harness.test.js" in MODULES


@pytest.mark.parametrize(
    ("source", "expected"),
    [
        ("export const nothing = 1;", "registers no test"),
        ('test("a", () => { equal(1, 2); });', "expected 2, got 1"),
        ('test("a", async () => { await rejects(Promise.resolve(3)); });', "expected a rejection, got 3"),
        ('test("a", () => { deepEqual({b: [1, 2]}, {b: [1, 3]}); });', "differs at .b.1"),
        ('test("a", () => { Promise.reject(new Error("stray")); });', "not caught by anybody: Error: stray"),
        ('test("a", () => { setTimeout(() => { throw new Error("late"); }); });', "late"),
    ],
)
def test_a_failing_module_is_reported(page, origin, source, expected):
    whole = f'import {{ test, equal, deepEqual, rejects }} from "/tests/harness.js";\n{source}\n'
    page.route("**/planted.js", lambda route: route.fulfill(content_type="text/javascript", body=whole))
    assert expected in told(run_module(page, origin, "/planted.js"))


def test_a_module_that_cannot_load_is_an_error(page, origin):
    with pytest.raises(Exception, match="Failed to fetch dynamically imported module"):
        run_module(page, origin, "/tests/no-such.test.js")
