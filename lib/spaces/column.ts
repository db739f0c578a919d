/**
 * Reading columns of numbers in the innermost loops, one function for each kind of column so that the engine makes no value
 * for a number that is read. Beyond the column's end there is no number (0 in a column of counts): the loops do not go there.
 */
export const numberAt = (column: Float64Array, i: number): number => column[i] ?? Number.NaN;
export const countAt = (column: Int32Array, i: number): number => column[i] ?? 0;
