// Package view draws the pages: templ components, the drawing of the day, and
// every sentence the program says. It decides nothing and fetches nothing.
package view
