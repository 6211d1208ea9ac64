declare const __GOODGATE_VERSION__: string | undefined;

/** Version of the program; set when it is bundled. */
export const version: string = typeof __GOODGATE_VERSION__ === "string" ? __GOODGATE_VERSION__ : "0.0.0-source";
