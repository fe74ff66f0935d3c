# fish completion for lampbeat: commands, and the options each command's own --help lists.
set -l commands measure predict shutters rate footage room compare synth
complete -c lampbeat -n "not __fish_seen_subcommand_from $commands" -f -a measure -d 'how much and how fast a light flickers'
complete -c lampbeat -n "not __fish_seen_subcommand_from $commands" -f -a predict -d 'what one shot will record'
complete -c lampbeat -n "not __fish_seen_subcommand_from $commands" -f -a shutters -d 'which shutters suit these lights'
complete -c lampbeat -n "not __fish_seen_subcommand_from $commands" -f -a rate -d 'rank a shelf of fixtures'
complete -c lampbeat -n "not __fish_seen_subcommand_from $commands" -f -a footage -d 'measure the bands in a clip'
complete -c lampbeat -n "not __fish_seen_subcommand_from $commands" -f -a room -d 'where in a room one can film'
complete -c lampbeat -n "not __fish_seen_subcommand_from $commands" -f -a compare -d 'whether a light, a clip or a room is as it was'
complete -c lampbeat -n "not __fish_seen_subcommand_from $commands" -f -a synth -d 'make a practice capture or clip'
complete -c lampbeat -n "not __fish_seen_subcommand_from $commands" -f -a help -d 'examples and options of a command'
for command in $commands
    complete -c lampbeat -n "__fish_seen_subcommand_from $command" -a "(lampbeat $command --help 2>/dev/null | string match -r --all -- '--[a-z-]+' | sort -u)"
end
