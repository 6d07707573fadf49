import { describe, expect, it } from "vitest";
import { html, htmlIn, links, sections, termsOf, words } from "../generator/prose.ts";

const nowhere = () => undefined;

describe("sections(body)", () => {
  it("splits at the second-level headings and keeps what stands before the first", () => {
    const found = sections("Opening.\n\n## Cutting\n\nCut *low*.\n\n### Often\n\nDaily.\n\n## Keeping\n");
    expect(found.map(({ heading, line }) => [heading, line])).toEqual([
      ["", 1],
      ["Cutting", 3],
      ["Keeping", 11],
    ]);
    expect(words(found[1]!)).toBe("Cut low. Often Daily.");
  });
});

describe("html(section, address)", () => {
  it("reads tables and tick lists", () => {
    const [section] = sections("| a | b |\n| - | - |\n| 1 | 2 |\n\n- [ ] look\n");
    const text = html(section!, nowhere);
    expect(text).toContain("<table>");
    expect(text).toContain('<li class="tick">look</li>');
  });

  it.each([
    ["a script", "Hello <script>alert(1)</script> you"],
    ["an image that runs", "Hello <img src=x onerror=alert(1)> you"],
    ["an address that runs", "[go](javascript:alert(1))"],
    ["data as an address", "[go](data:text/html;base64,PHNjcmlwdD4=)"],
  ])("leaves %s out", (_what, body) => {
    const text = html(sections(body)[0]!, nowhere);
    expect(text).not.toMatch(/<script|onerror|javascript:|data:text/i);
  });

  it("leads links to records that the reader has, and keeps the words of those that he has not", () => {
    const [section] = sections("Like [mint](crops/mint) and [feed](feeds/leaf).");
    const text = html(section!, (target) => (target === "crops/mint" ? "/crops/mint" : undefined));
    expect(text).toContain('<a href="/crops/mint">mint</a>');
    expect(text).toContain("and feed.");
    expect(links(section!).map(({ target }) => target)).toEqual(["crops/mint", "feeds/leaf"]);
  });

  it("links the first use of a trade word on a page, the longest name first, and no other", () => {
    const terms = termsOf([
      { names: ["plug"], address: "/glossary#plug" },
      { names: ["plug tray", "plug trays"], address: "/glossary#plug-tray" },
    ]);
    const linked = new Set<string>();
    const [first, second] = sections(
      "Fill the plug trays. A plug, a Plug, an unplugged drain.\n\n## Cutting\n\nThe plug again.",
    );
    const text = html(first!, nowhere, terms, linked);
    expect(text).toContain('<a href="/glossary#plug-tray">plug trays</a>');
    expect(text).toContain('A <a href="/glossary#plug">plug</a>, a Plug, an unplugged');
    expect(html(second!, nowhere, terms, linked)).not.toContain("<a");
  });
});

describe("htmlIn(section)", () => {
  it("finds markup and lets a comment be", () => {
    expect(
      htmlIn(sections("A <b>bold</b> word.\n\n<!-- a remark -->\n")[0]!).map(({ text, line }) => [text, line]),
    ).toEqual([
      ["<b>", 1],
      ["</b>", 1],
    ]);
  });
});
