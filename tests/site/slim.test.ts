import { describe, expect, it } from "vitest";
import { inSteps, slimmed } from "../../site/slim.ts";

describe("a path in steps", () => {
  it("goes the same way, place by place", () => {
    expect(inSteps("M10 20L30 20L30 5H12V8Z")).toBe("m10 20h20v-15h-18v3z");
    expect(inSteps("M60 108C16 93 16 53 60 34z")).toBe("m60 108c-44-15-44-55 0-74z");
    expect(inSteps("M54 100Q54 54 54 21M54 77L29 59")).toBe("m54 100q0-46 0-79m0 56l-25-18");
  });
  it("begins anew where a closed shape began", () => {
    expect(inSteps("M10 10h5v5zM20 20h1")).toBe("m10 10h5v5zm10 10h1");
    expect(inSteps("M10 10h5v5zL12 12")).toBe("m10 10h5v5zl2 2");
  });
  it("keeps the shape and the turn of an arc", () => {
    expect(inSteps("M11 1a10 10 0 0 0 0 20z")).toBe("m11 1a10 10 0 0 0 0 20z");
    expect(inSteps("M11 1A10 10 30 1 0 21 11")).toBe("m11 1a10 10 30 1 0 10 10");
  });
  it("takes further pairs after a move for lines", () => {
    expect(inSteps("M1 1 2 2 4 3")).toBe("m1 1l1 1 2 1");
  });
  it("leaves alone what is no path", () => {
    expect(inSteps("10 20")).toBe("10 20");
    expect(inSteps("M10")).toBe("M10");
  });
});

describe("a slim page", () => {
  it("has nothing left that only the making of the index read", () => {
    const page =
      '<main id="card" data-pagefind-body="true" data-names="a > b" data-kind="crop" data-pagefind-meta="x">';
    expect(slimmed(page)).toBe('<main id="card">');
    expect(slimmed('<a href="#x" data-pagefind-ignore>P</a>')).toBe('<a href="#x">P</a>');
  });
  it("keeps what a form is filled in from, and what people wrote", () => {
    const form = '<work-sheet data-names="{&quot;a&quot;:1}"></work-sheet>';
    expect(slimmed(form)).toBe(form);
    const text = "<p>An attribute data-pagefind-ignore keeps a line out, and a < b > c.</p>";
    expect(slimmed(text)).toBe(text);
  });
  it("keeps the blanks between words, and drops those between blocks", () => {
    expect(slimmed("<p>one <b>two</b> <i>three</i></p> <p>four</p>")).toBe(
      "<p>one <b>two</b> <i>three</i></p><p>four</p>",
    );
    expect(slimmed("<p> one <b>two</b> </p><pre> x </pre>")).toBe("<p>one <b>two</b></p><pre> x </pre>");
    expect(slimmed("<dl> <dt>a</dt> <dd>b</dd> </dl>")).toBe("<dl><dt>a<dd>b</dl>");
  });
  it("leaves the letters of a sheet as its script writes them", () => {
    const sheet = "<work-sheet><dl><div><dt>a</dt> <dd>b</dd></div></dl></work-sheet>";
    expect(slimmed(sheet)).toBe(sheet);
  });
  it("leaves the ends that are needed", () => {
    expect(slimmed("<ul><li>a</li><li>b</li></ul> and")).toBe("<ul><li>a<li>b</ul> and");
    expect(slimmed("<li>a</li> text")).toBe("<li>a</li> text");
  });
});
