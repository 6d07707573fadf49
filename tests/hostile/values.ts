/** The name of a mark that every script below would leave on a page, were it ever run. */
export const mark = "hostileMark";

/** A place outside the book, which nothing may ask for. */
export const elsewhere = "https://elsewhere.example";

/**
 * What somebody may write into a field so that whoever shows it does more than show it. `tag` is a word of its own, by which
 * it is found again.
 */
export const hostile: readonly ((tag: string) => string)[] = [
  (tag) => `${tag}<script>window.${mark}=1;alert(1)</script>`,
  (tag) => `${tag}<img src=x onerror="window.${mark}=1">`,
  (tag) => `${tag}"><svg onload="window.${mark}=1"><path d="M0 0"/></svg>`,
  (tag) => `${tag}' onmouseover='window.${mark}=1' x='`,
  (tag) => `${tag}" onfocus="window.${mark}=1" autofocus tabindex="0" x="`,
  (tag) => `javascript:window.${mark}=1//${tag}`,
  (tag) => `${tag}</script><script>window.${mark}=1</script>`,
  (tag) => `${tag}</style><style>*{background:url(${elsewhere}/a.png)}</style>`,
  (tag) => `${tag}]]>--><!--<![CDATA[`,
  (tag) => `${tag}{{constructor.constructor("window.${mark}=1")()}} \${window.${mark}=1} \`window.${mark}=1\``,
  (tag) => `=HYPERLINK("${elsewhere}","${tag}")`,
  (tag) => `+${tag}|' /C calc'!A0`,
  (tag) => `-2+3+cmd|${tag}`,
  (tag) => `@SUM(1+9)*cmd|${tag}`,
  (tag) => `${tag}\u202egnp.exe\u202c\u2066x\u2069\u200f`,
  (tag) => `${tag}\u001b[31mred\u001b]0;title\u0007\u009b2J\u007f\u0008`,
  (tag) => `[${tag}](javascript:window.${mark}=1) ![${tag}](${elsewhere}/b.png)`,
  (tag) => `${tag}\r\nEND:VEVENT\r\nBEGIN:VALARM\r\nATTACH:${elsewhere}/c`,
  (tag) => `../../../${tag}/../../etc/passwd`,
  (tag) => `${tag}&lt;script&gt;window.${mark}=1&lt;/script&gt;&quot;&#x22;&amp;`,
  (tag) => `${tag}<iframe srcdoc="<script>parent.${mark}=1</script>"></iframe><object data="${elsewhere}/d"></object>`,
  (tag) => `${tag}<meta http-equiv=refresh content="0;url=${elsewhere}"><base href="${elsewhere}/">`,
  (tag) =>
    `${tag}<form action="${elsewhere}"><input name=a autofocus><button formaction="javascript:window.${mark}=1">`,
  (tag) => `${tag}<math><mtext><table><mglyph><style><img src=x onerror=window.${mark}=1>`,
  (tag) => `data:text/html,<script>window.${mark}=1</script>${tag}`,
  (tag) => `${tag}", "injected": "yes", "\\u003cscript\\u003e`,
  (tag) => `${tag}\u2028window.${mark}=1\u2029\u0000\ufeff`.replaceAll("\0", ""),
  (tag) => `__proto__ constructor ${tag} %00 %2e%2e%2f ..\\..\\${tag}`,
];

/** Hostile values one after the other, each with a tag of its own that begins with `of` in letters and digits. */
export function values(of: string): { readonly next: () => string; readonly all: string[] } {
  const all: string[] = [];
  const start = [...of].reduce((sum, letter) => (sum * 31 + letter.charCodeAt(0)) % 1_000_003, 7);
  return {
    all,
    next() {
      const value = hostile[(start + all.length) % hostile.length]!(`hq${start}n${all.length}z`);
      all.push(value);
      return value;
    },
  };
}

/** The tag of a hostile value. */
export function tagOf(value: string): string {
  return /hq\d+n\d+z/.exec(value)![0];
}

/** Markdown that means more than words, as far as the checker lets it into a book. */
export const prose = `
Words hqprose <script>window.${mark}=1</script> and <img src=x onerror="window.${mark}=1"> and <a href="javascript:window.${mark}=1">here</a>.

![a picture](${elsewhere}/e.png) and ![one more][pic] and <${elsewhere}/f> and \`<script>window.${mark}=1</script>\`.

<svg onload="window.${mark}=1"><style>*{background:url(${elsewhere}/g.png)}</style></svg>

<details open ontoggle="window.${mark}=1"><summary>x</summary></details>

| {{x}} | \${window.${mark}=1} |
| --- | --- |
| </script><script>window.${mark}=1</script> | ]]> --> <!-- |

- [ ] <iframe srcdoc="<script>parent.${mark}=1</script>"></iframe>
- \u202ereversed\u202c \u001b[31m javascript:window.${mark}=1 data:text/html,x

[pic]: ${elsewhere}/h.png "onload=window.${mark}=1"
`;
