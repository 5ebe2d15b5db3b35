/**
 * Which widget serves which type of step; a panel is a step with a screen of its own. Each comes when it is first
 * wanted: a phone that is opened in the middle of a step waits for that step alone.
 */

const readings = async () => (await import("./panels/readings-panel.js")).ReadingsPanel;
const level = async () => (await import("./panels/level-panel.js")).LevelPanel;

const TYPES = {
  tick: async () => (await import("./steps/tick-step.js")).TickStep,
  choice: async () => (await import("./steps/choice-step.js")).ChoiceStep,
  text: async () => (await import("./steps/text-step.js")).TextStep,
  number: async () => (await import("./steps/number-step.js")).NumberStep,
  photo: async () => (await import("./steps/photo-step.js")).PhotoStep,
};

const PANELS = {
  "bolts": async () => (await import("./panels/bolts-panel.js")).BoltsPanel,
  "bracket": async () => (await import("./panels/bracket-panel.js")).BracketPanel,
  "can-rings-go-in": async () => (await import("./panels/can-go-in-panel.js")).CanGoInPanel,
  "readings": readings,
  "windows": async () => (await import("./panels/windows-panel.js")).WindowsPanel,
  "plan": async () => (await import("./panels/plan-panel.js")).PlanPanel,
  "consent": async () => (await import("./panels/consent-panel.js")).ConsentPanel,
  "single-use-list": async () => (await import("./panels/single-use-panel.js")).SingleUsePanel,
  "fitting-aids": async () => (await import("./panels/fitting-aids-panel.js")).FittingAidsPanel,
  "parts-used": async () => (await import("./panels/parts-used-panel.js")).PartsUsedPanel,
  "torque": async () => (await import("./panels/torque-panel.js")).TorquePanel,
  "level-ride": level,
  "level-hanging": level,
  "check-readings": readings,
  "pressures": async () => (await import("./panels/pressures-panel.js")).PressuresPanel,
  "proof": async () => (await import("./panels/proof-panel.js")).ProofPanel,
  "front-readings": readings,
  "sign": async () => (await import("./panels/sign-panel.js")).SignPanel,
  "stop": async () => (await import("./panels/stop-panel.js")).StopPanel,
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
