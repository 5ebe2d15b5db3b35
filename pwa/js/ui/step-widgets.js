/** Which widget serves which type of step. A panel is a step with a screen of its own. */

import { ChoiceStep } from "./steps/choice-step.js";
import { NumberStep } from "./steps/number-step.js";
import { PhotoStep } from "./steps/photo-step.js";
import { TextStep } from "./steps/text-step.js";
import { TickStep } from "./steps/tick-step.js";
import { BoltsPanel } from "./panels/bolts-panel.js";
import { BracketPanel } from "./panels/bracket-panel.js";
import { CanGoInPanel } from "./panels/can-go-in-panel.js";
import { ConsentPanel } from "./panels/consent-panel.js";
import { FittingAidsPanel } from "./panels/fitting-aids-panel.js";
import { LevelPanel } from "./panels/level-panel.js";
import { PlanPanel } from "./panels/plan-panel.js";
import { ProofPanel } from "./panels/proof-panel.js";
import { ReadingsPanel } from "./panels/readings-panel.js";
import { SignPanel } from "./panels/sign-panel.js";
import { SingleUsePanel } from "./panels/single-use-panel.js";
import { StopPanel } from "./panels/stop-panel.js";
import { TorquePanel } from "./panels/torque-panel.js";
import { WindowsPanel } from "./panels/windows-panel.js";

const TYPES = { tick: TickStep, choice: ChoiceStep, text: TextStep, number: NumberStep, photo: PhotoStep };

const PANELS = {
  "bolts": BoltsPanel,
  "bracket": BracketPanel,
  "can-rings-go-in": CanGoInPanel,
  "readings": ReadingsPanel,
  "windows": WindowsPanel,
  "plan": PlanPanel,
  "consent": ConsentPanel,
  "single-use-list": SingleUsePanel,
  "fitting-aids": FittingAidsPanel,
  "torque": TorquePanel,
  "level-ride": LevelPanel,
  "level-hanging": LevelPanel,
  "check-readings": ReadingsPanel,
  "proof": ProofPanel,
  "front-readings": ReadingsPanel,
  "sign": SignPanel,
  "stop": StopPanel,
};

/**
 * @param {{app, job, step, goOn, draft, typed}} context
 * @returns {Promise<Object>} a widget with `element` and `primary`; it may have `prepare()` and `update(context)`
 */
export async function widgetFor(context) {
  const Widget = TYPES[context.step.type] ?? PANELS[context.step.panel];
  const widget = new Widget(context);
  await widget.prepare?.();
  return widget;
}
