import fc from "fast-check";

// Made-up inputs are the same in every run, so that a failure can be had again. TIERBOOK_SEED gives others.
fc.configureGlobal({ seed: Number(process.env.TIERBOOK_SEED ?? 20_270_412) });
