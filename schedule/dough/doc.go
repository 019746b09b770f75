// Package dough is the arithmetic of the formula: baker's percentages and what
// they contain, weights for an order, water temperature and ice, allergens and
// cautions, and the household quantities people write down.
//
// A formula is in baker's percent: the flour together is 100 and everything
// else is a share of it. The definition is the trade's (bakingbusiness.com
// dictionary, "Baker's percent"; Gisslen, Professional Baking).
package dough
