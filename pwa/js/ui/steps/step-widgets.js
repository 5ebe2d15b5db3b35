/**
 * Which widget serves which type of step; a panel is a step with a screen of its own. Each comes when it is first
 * wanted: a phone that is opened in the middle of a step waits for that step alone.
 */

const readings = async () => (await import("../panels/read/readings-panel.js")).ReadingsPanel;
const level = async () => (await import("../panels/fit/level-panel.js")).LevelPanel;

const TYPES = {
  tick: async () => (await import("./tick-step.js")).TickStep,
  choice: async () => (await import("./choice-step.js")).ChoiceStep,
  text: async () => (await import("./text-step.js")).TextStep,
  number: async () => (await import("./number-step.js")).NumberStep,
  photo: async () => (await import("./photo-step.js")).PhotoStep,
};

const PANELS = {
  "bolts": async () => (await import("../panels/fit/bolts-panel.js")).BoltsPanel,
  "bracket": async () => (await import("../panels/fit/bracket-panel.js")).BracketPanel,
  "can-rings-go-in": async () => (await import("../panels/fit/can-go-in-panel.js")).CanGoInPanel,
  "readings": readings,
  "windows": async () => (await import("../panels/read/windows-panel.js")).WindowsPanel,
  "plan": async () => (await import("../panels/choose/plan-panel.js")).PlanPanel,
  "consent": async () => (await import("../panels/choose/consent-panel.js")).ConsentPanel,
  "single-use-list": async () => (await import("../panels/fit/single-use-panel.js")).SingleUsePanel,
  "fitting-aids": async () => (await import("../panels/fit/fitting-aids-panel.js")).FittingAidsPanel,
  "parts-used": async () => (await import("../panels/fit/parts-used-panel.js")).PartsUsedPanel,
  "torque": async () => (await import("../panels/fit/torque-panel.js")).TorquePanel,
  "level-ride": level,
  "level-hanging": level,
  "check-readings": readings,
  "pressures": async () => (await import("../panels/read/pressures-panel.js")).PressuresPanel,
  "proof": async () => (await import("../panels/prove/proof-panel.js")).ProofPanel,
  "front-readings": readings,
  "sign": async () => (await import("../panels/prove/sign-panel.js")).SignPanel,
  "stop": async () => (await import("../panels/prove/stop-panel.js")).StopPanel,
};

/**
 * @param {{app, job, step, goOn, draft, typed}} context
 * @returns {Promise<Object>} a widget with `element` and `primary`; it may have `prepare()` and `update(context)`
 */
export async function widgetFor(context) {
  const Widget = await (TYPES[context.step.type] ?? PANELS[context.step.panel])();
  const widget = new Widget(context);
  await widget.prepare?.();
  return widget;
}

/** Brings every widget, so that no later step waits for its own. */
export function bringWidgets() {
  return Promise.all([...Object.values(TYPES), ...Object.values(PANELS)].map((bring) => bring()));
}
