"""The demo's jobs are made by Python, which knows the checklist in part: here the phone's own checklist reads them."""

FINDINGS = """async () => {
    const { fold } = await import("/js/domain/job/fold.js");
    const { missing, nextStep, refusals } = await import("/js/domain/job/checklist.js");
    const checklist = await (await fetch("/checklist.json")).json();
    const { openPhone } = await import("/js/store/phone.js");
    const phone = await openPhone();
    const ids = new Set(checklist.stages.flatMap(({ steps }) => steps.map(({ id }) => id)));
    const idOf = (slot) => slot.replace(/^round\\.\\d+\\./, "").replace(/\\.(left|right)\\./, ".");
    return (await phone.jobs()).map(({ entries }) => {
        const folded = fold(entries);
        return {
            state: folded.state,
            conflicts: folded.conflicts,
            missing: missing(checklist, folded).map(({ slot }) => slot),
            refusals: refusals(checklist, folded).map(({ slot }) => slot),
            next: nextStep(checklist, folded)?.slot ?? null,
            unknown: entries.filter(({ slot, kind }) => kind === "step-done" && !ids.has(idOf(slot))),
        };
    });
}"""


def test_the_phone_finds_nothing_undone_in_a_signed_job_of_the_demo_and_a_next_step_in_an_open_one(app):
    found = app.page.evaluate(FINDINGS)
    states = [job["state"] for job in found]
    assert sorted(set(states)) == ["open", "signed", "stopped"]
    for job in found:
        assert job["unknown"] == [], "steps that the checklist does not have"
        if job["state"] == "signed":
            assert job["conflicts"] == []
            assert job["missing"] == []
            assert job["refusals"] == []
        if job["state"] == "open":
            assert job["next"]
