import { parentPort, workerData } from "node:worker_threads";
import { targets } from "./index.ts";
import { tried } from "./target.ts";

// Tries one target away from the bench, which can end it when a case never comes to an end.
const { name, cases, seed } = workerData as { readonly name: string; readonly cases: number; readonly seed: number };
const found = targets.find((target) => target.name === name);
if (!found) throw new Error(`There is no target ${name}`);
parentPort?.postMessage(await tried(found, cases, seed, (done) => parentPort?.postMessage(done)));
