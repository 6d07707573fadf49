import { showToday } from "./today.ts";
import { todayWords } from "./words.ts";

// The front page alone turns to the reader's day: no other page loads this.
showToday(todayWords);
