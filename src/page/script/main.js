// Last of the script.
start().catch(showTrouble);
