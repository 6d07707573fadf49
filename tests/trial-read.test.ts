import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { main } from "../generator/cli.ts";

const content = fileURLToPath(new URL("../content", import.meta.url));

async function call(...args: readonly string[]) {
  const [out, err]: [string[], string[]] = [[], []];
  const code = await main(["trial", ...args], {
    cwd: content,
    out: (text) => void out.push(text),
    err: (text) => void err.push(text),
  });
  return { code, out: out.join("\n"), err: err.join("\n") };
}
const read = (id: string, ...more: readonly string[]) => call("read", id, "--content", content, ...more);

describe("tierbook trial read", () => {
  it("says losses before size, and that one run changes nothing", async () => {
    const { code, out } = await read("viola-plates");
    expect(code).toBe(0);
    expect(out).toMatch(/^Shall we grow viola A or viola B/);
    expect(out).toContain("B (done now): 12 started, 0 died, 12 measured");
    expect(out).toContain("  tower-11: 9.9, 10.4, 11.8");
    expect(out.indexOf("Losses:")).toBeLessThan(
      out.indexOf("95 % interval of the difference 0.893 to 3.46 (4 blocks)"),
    );
    expect(out).toContain("Better; size not settled. Provisional:");
    expect(out).toContain(
      "Beside cutting.pieces of crops/viola, which is 10–30 /week, it would stand as 8.7–11.0 /week",
    );
  });

  it("says what two runs that agree would change", async () => {
    const { code, out } = await read("viola-plates-autumn");
    expect(code).toBe(0);
    expect(out).toContain("tower-8: 7.4, 8.2, died");
    expect(out).toContain(
      "It would change cutting.pieces of crops/viola from 10–30 /week to 7.8–11.0 /week (29 plants of A in 10 blocks",
    );
  });

  it("refuses what is false replication, with every value, an offer, and no interval", async () => {
    const { code, out } = await read("basil-more-feed");
    expect(code).toBe(3);
    expect(out).toContain("tower-3: 9.1, 8.4, 10.2");
    expect(out).toMatch(/Refused: .*8 towers[\s\S]*feed each from its own bucket/);
    expect(out).not.toMatch(/interval|mean|chance/);
  });

  it("is one object for other programs, with null for what there is not", async () => {
    const { out } = await read("basil-more-feed", "--json");
    const reading = JSON.parse(out) as Record<string, unknown>;
    expect(reading).toMatchObject({ trial: "basil-more-feed", standing: "note", comparison: null, proposal: null });
    expect(out).not.toContain("WKZ");
  });

  it("names a near one, and what may be done", async () => {
    expect(await read("viola-plate")).toMatchObject({
      code: 2,
      err: expect.stringContaining("did you mean viola-plates?"),
    });
    expect((await call("read")).err).toMatch(/^Say which trial/);
    expect((await call("reed")).err).toMatch(/^Unexpected reed, expected one of .*read/);
    expect((await read("viola-plates", "basil")).code).toBe(2);
  });
});
