package web

// wentPath is the page of how a day went, beneath its day.
const wentPath = "/went"
