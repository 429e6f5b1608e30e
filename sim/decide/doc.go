// Package decide answers what to change: the window of front lines that every
// constraint allows, and what each of many changes cures and breaks.
//
// It uses the margins of package sim, in the same frame and units: mm, N, rad.
// Every answer is found on the model itself, nothing is linearised.
package decide
