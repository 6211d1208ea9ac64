import { CommandError } from "../command-error.ts";
import { exitCodes } from "../exit-codes.ts";
import type { Io } from "../io.ts";

/** Widest text that is still easy to read. */
const mostColumns = 100;

/** Prints what one rule looks at, or the list of all rules. */
export async function explain(id: string | undefined, io: Io): Promise<number> {
  const rulesPackage = await import("@goodgate/rules");
  const { rules } = rulesPackage;
  if (id === undefined) {
    const longest = Math.max(...rules.map((rule) => rule.id.length));
    for (const rule of rules) io.print(`${rule.id.padEnd(longest)}  ${rule.title}\n`);
    io.print("\ngoodgate explain <rule> says what one of them looks at, its limit, why, and the remedy.\n");
    return exitCodes.good;
  }
  const found = rulesPackage.explain(id);
  if (found === undefined) {
    const near = rules.filter((rule) => rule.id.includes(id) || id.includes(rule.id)).map((rule) => rule.id);
    throw new CommandError(
      `no rule ${id}: ${near.length > 0 ? `did you mean ${near.join(", ")}?` : "goodgate explain lists them"}`,
    );
  }
  const { wrapped } = await import("@goodgate/report/printed-text");
  const columns = Math.min(io.columns, mostColumns);
  const lines: string[] = [`${found.id}: ${found.title}`, "", ...wrapped(found.explanation, columns)];
  const part = (title: string, items: readonly string[]): void => {
    if (items.length === 0) return;
    lines.push("", title, ...items.flatMap((item) => wrapped(`  ${item}`, columns, 4)));
  };
  part("Looks at", [
    found.needs.length === 0 ? "what the card's folders hold" : `needs ${found.needs.join(", ")}`,
    ...(found.wants.length === 0 ? [] : [`sharper with ${found.wants.join(", ")}`]),
    `a clip's verdict is unknown without it: ${found.decides}`,
  ]);
  part(
    "Limits",
    found.limits.map(
      ({ name, default: value, unit, origin, source }) => `${name}: ${value} ${unit} (${origin}; ${source})`,
    ),
  );
  part("On location", [found.remedyOnLocation]);
  part("In the edit", [found.remedyInEdit]);
  part(
    "Examples",
    found.examples.map(({ title, answer }) => `${title}: ${answer}`),
  );
  part("Sources", found.sources);
  io.print(`${lines.join("\n")}\n`);
  return exitCodes.good;
}
