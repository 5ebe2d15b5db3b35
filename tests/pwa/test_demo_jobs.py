"""The demo's jobs are made by Python with the checklist of release 0.1.0: here the phone's own checklist reads them.

Where a row asks for a result now and that release had a tick, the tick stands for it in a job that is signed.
"""

FINDINGS = """async () => {
    const { Job } = await import("/js/domain/job/living-job.js");
    const { openPhone } = await import("/js/store/phone.js");
    const { bringJob } = await import("/js/sync/find-jobs.js");
    const checklist = await (await fetch("/checklist.json")).json();
    const phone = await openPhone();
    // Closed ones are lines on a phone that never worked on them.
    for (const { job } of await (await phone.lines()).jobs.all()) {
        if (!(await phone.isHere(job))) await bringJob(phone, job);
    }
    const rows = checklist.sheets.flatMap(({ rows, pauses = [{ rows }] }) => pauses.flatMap((pause) => pause.rows));
    const ids = new Set(rows.flatMap(({ id, also = [] }) => [id, ...also]));
    const idOf = (slot) => slot.replace(/^round\\.\\d+\\./, "").replace(/\\.(left|right)\\./, ".");
    return Promise.all((await phone.jobs()).map(async ({ job: id }) => {
        const entries = await phone.entries(id);
        const job = new Job({ id, entries, checklist });
        const stepsOf = ({ id }) => rows.find((row) => row.id === id).also ?? [];
        const wasTicked = (row) => stepsOf(row).some((step) => job.body(step, "step-done"));
        const grown = new Job({ id, checklist });
        const miscounted = new Set();
        for (const [at, entry] of entries.entries()) {
            grown.apply(entry);
            if (at % 10 !== 9 && at < entries.length - 1) continue;
            for (const { key, state, left, pauses } of grown.sheets) {
                const inPauses = pauses.reduce((sum, pause) => sum + pause.left, 0);
                if (state === "waiting" ? pauses.some((pause) => pause.left > left) : inPauses !== left)
                    miscounted.add(`${key} after ${at}: ${inPauses} in its pauses, ${left} in all`);
                for (const pause of pauses.filter((each) => (each.left === 0) !== (each.state === "done")))
                    miscounted.add(`${key} ${pause.id} after ${at}: ${pause.state} with ${pause.left}`);
            }
        }
        const left = job.openRows().filter((row) => !wasTicked(row));
        return {
            state: job.fold.state,
            conflicts: job.fold.conflicts,
            missing: left.filter(({ state }) => state !== "refused").map(({ slot }) => slot),
            refusals: left.filter(({ state }) => state === "refused").map(({ slot }) => slot),
            next: job.nextOpen()?.slot ?? null,
            miscounted: [...miscounted],
            unknown: entries.filter(({ slot, kind }) => kind === "step-done" && !ids.has(idOf(slot))),
        };
    }));
}"""


def test_the_phone_finds_nothing_undone_in_a_signed_job_of_the_demo_and_a_next_step_in_an_open_one(app):
    found = app.page.evaluate(FINDINGS)
    states = [job["state"] for job in found]
    assert sorted(set(states)) == ["open", "signed", "stopped"]
    for job in found:
        assert job["unknown"] == [], "steps that the checklist does not have"
        assert job["miscounted"] == [], "what is open, by sheet and by pause"
        if job["state"] == "signed":
            assert job["conflicts"] == []
            assert job["missing"] == []
            assert job["refusals"] == []
        if job["state"] == "open":
            assert job["next"]
