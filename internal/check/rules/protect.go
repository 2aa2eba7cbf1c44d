package rules

// protectionRules are those of fuses, breakers and switches.
var protectionRules = []*Rule{&unprotected, &tooFar, &oversize, &steadyLoad, &surgeLoad, &untold, &misplaced, &switchRating, &interrupts, &breakVolts, &opensInTime, &cranking, &saves, &overload, &selective, &batteryFirst, &sideBySide, &eachBattery, &oddBattery}
