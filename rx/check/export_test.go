package check

// Rules lists the rules.
var Rules = rules
