// Package plots draws sim results: the answer as one figure, cogs, ring and bends on one axis,
// and true-scale top and side views of the chain. Lengths on the axes are mm, angles
// degrees. What a line means is carried by its dashes and markers, grey and
// colour only help; everything stays legible in greyscale.
package plots
