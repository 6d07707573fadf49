declare module "subset-font" {
  /** A font with the signs of `text` and no others. */
  export default function subsetFont(
    font: Uint8Array,
    text: string,
    options?: { readonly targetFormat?: "sfnt" | "woff" | "woff2" },
  ): Promise<Uint8Array>;
}
