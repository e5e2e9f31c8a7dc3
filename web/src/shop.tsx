// The page where a job is drawn and planned.
document.getElementById("bench")!.textContent = "Seamwright";
