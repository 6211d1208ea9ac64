/**
 * Version of the report's shape. A new field raises the second number, a changed or dropped one the first. It stands
 * apart from the schema, so that writing a report does not load what checks one.
 */
export const reportVersion = "1.0";
