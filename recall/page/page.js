// The page is made by the server. These modules only carry: follow keeps it
// fresh, say brings what a person says to the room, bays and bench are for hands.

import { start } from "./follow.js";
import { bringIntoView, watchBays } from "./bays.js";
import { watchBench } from "./bench.js";
import { hang, watchCord } from "./cord.js";
import { watchDesign } from "./design.js";
import { watchListening } from "./listen.js";
import { watchDevice } from "./device.js";
import { watchAsking } from "./ask.js";
import { watchDrawing } from "./draw.js";
import { watchFinding } from "./find.js";
import { watchForms } from "./say.js";
import { watchHands } from "./hands.js";

watchForms();
watchBays();
watchBench();
watchCord();
watchDesign();
watchListening();
watchHands();
watchAsking();
watchFinding();
watchDrawing();
watchDevice();
bringIntoView();
hang();
start();
