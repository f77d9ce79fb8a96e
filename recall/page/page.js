// The page is made by the server. These modules only carry: follow keeps it
// fresh, say brings what a person says to the room, bays and sheet are for hands.

import { start } from "./follow.js";
import { bringIntoView, watchBays } from "./bays.js";
import { watchForms } from "./say.js";
import { tickSheet, watchSheet } from "./sheet.js";

watchForms();
watchBays();
watchSheet();
tickSheet();
bringIntoView();
start();
