import { mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { openBrowser } from "../../generator/browser.ts";
import { pressOf, scrapsFolder } from "../../generator/press.ts";
import { watchBook } from "../../generator/watch.ts";
import { corpus } from "./corpus.ts";

// Milliseconds from the saving of a record to its page on the screen of a browser, edit after edit, as a JSON list.
const folder = await mkdtemp(join(tmpdir(), "tierbook-edit-"));
const content = await corpus(Number(process.argv[2]), join(folder, "book"));
const press = await pressOf(await scrapsFolder());
if ("trouble" in press) throw new Error(press.trouble);
const quiet = () => {};
const watching = await watchBook({
  content,
  audience: "staff",
  press: press.folder,
  port: 0,
  looked: quiet,
  lost: quiet,
});
const browser = await openBrowser();
const page = await browser.newPage();
await page.goto(`${watching.address}crops/basil-sweet`);
const file = join(content, "crops/basil-sweet.md");
const text = await readFile(file, "utf8");
const took: number[] = [];
for (let edit = 0; edit < 12; edit++) {
  const name = `Basil of edit ${edit}`;
  const from = performance.now();
  await writeFile(file, text.replace(/^name: .*$/m, `name: ${name}`));
  await page.getByRole("heading", { level: 1, name }).waitFor();
  took.push(performance.now() - from);
}
await browser.close();
await watching.stop();
await rm(folder, { recursive: true, force: true });
console.log(JSON.stringify(took));
