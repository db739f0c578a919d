/** A short tune of our own, to show what a song looks like as text. */
export const EXAMPLE = `X:1
T:The Lamp by the Gate
M:4/4
L:1/4
Q:1/4=96
K:G
"G" G A B B | "D" A G D2 | "G" z4 | "G" B c d d |
w: Set a lamp be-side the gate, home is down the
"C" e2 z2 | "C" z4 | "D" A B c A | "G" G3 z |]
w: road, I'll be home a-gain.
`;
