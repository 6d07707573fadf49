// Loaded before anything else, it makes a process of another place: a later clock and folders listed backwards.
import fs from "node:fs";
import { syncBuiltinESMExports } from "node:module";

const Here = Date;
const later = 1_234_567_890_123;
globalThis.Date = class extends Here {
  constructor(...given) {
    if (given.length === 0) super(Here.now() + later);
    else super(...given);
  }
  static now() {
    return Here.now() + later;
  }
};

const backwards = (list) => (Array.isArray(list) ? list.reverse() : list);
const { readdir } = fs.promises;
fs.promises.readdir = async (...given) => backwards(await readdir(...given));
const { readdirSync } = fs;
fs.readdirSync = (...given) => backwards(readdirSync(...given));
syncBuiltinESMExports();
