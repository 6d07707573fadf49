import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { Misuse } from "../generator/commands/command.ts";
import { really } from "../generator/commands/really.ts";

const demo = fileURLToPath(new URL("../content", import.meta.url));

async function run(...args: readonly string[]) {
  const out: string[] = [];
  const err: string[] = [];
  const world = { cwd: demo, out: (text: string) => out.push(text), err: (text: string) => err.push(text) };
  const code = await really.run([...args, "--content", demo], world as Parameters<typeof really.run>[1]);
  return { code, out: out.join("\n"), err: err.join("\n") };
}

describe("tierbook really", { timeout: 60_000 }, () => {
  it("tells of one crop, by a name that people call it, on a page that is no wider than a page", async () => {
    const { code, out } = await run("genovese", "basil");
    expect(code).toBe(0);
    expect(out).toContain("Records of Mon 12 Apr 2027; 6 closed, 3 still open");
    expect(out).toContain("summer: 4 closed, 0 open");
    expect(out).toContain("review: Sweet basil, a port gives at one cut: 6 of 6 closed batches");
    expect(out).not.toContain("Butterhead");
    expect(out).not.toContain("Not looked at");
    for (const line of out.split("\n")) expect(line.length, line).toBeLessThanOrEqual(100);
  });

  it("gives the same as one object, and nothing that is nobody's", async () => {
    const { out } = await run("--json");
    const told = JSON.parse(out);
    expect(told).toMatchObject({ edition: "2027-04-12", demo: true, closed: 14 });
    expect(told.crops.map(({ crop }: { crop: string }) => crop)).toContain("lettuce-butterhead");
    const of = (what: string) => told.suggestions.filter(({ kind }: { kind: string }) => kind === what);
    expect(of("review").length).toBeGreaterThan(1);
    expect(told.notLookedAt[0]).toMatchObject({ record: expect.stringMatching(/^lots\//) });
    for (const secret of ["JVQ", "seed house", "order file", "price"]) expect(out).not.toContain(secret);
  });

  it("names the nearest crop", async () => {
    await expect(run("bazl")).rejects.toThrow(Misuse);
    await expect(run("bazl")).rejects.toThrow("did you mean Sweet basil");
  });
});
