#!/bin/sh
# One-node Slurm of its own: sh one_node_slurm.sh FOLDER COMMAND...
# Starts munge, slurmctld and slurmd with keys, sockets, ports and states of their own in FOLDER (absolute, to be made
# anew), runs the command with SLURM_CONF set, and stops all three again, whatever happens. Exit code: the command's;
# or a sentence and 77 where Slurm is not installed, 78 where it cannot be started by this user or on this machine.
set -u
folder=$1
shift
for program in munged mungekey slurmctld slurmd sbatch scontrol; do
  PATH=$PATH:/usr/sbin command -v "$program" >/dev/null 2>&1 || {
    echo "Slurm is not installed: there is no $program (apt install slurm-wlm munge)"
    exit 77
  }
done
PATH=$PATH:/usr/sbin
user=$(id -un)
host=$(hostname -s)
mkdir -p "$folder/state" "$folder/spool"
chmod 755 "$folder"

pids=""
stop() {
  # The last first: slurmd ends its steps while slurmctld still listens.
  for pid in $pids; do kill "$pid" 2>/dev/null; done
  for pid in $pids; do
    for _ in 1 2 3 4 5 6 7 8 9 10 11 12 13 14 15 16 17 18 19 20; do
      kill -0 "$pid" 2>/dev/null || break
      sleep 0.25
    done
    kill -9 "$pid" 2>/dev/null
  done
  pids=""
}
trap stop EXIT
trap 'exit 143' TERM
trap 'exit 130' INT
trap 'exit 129' HUP

# start NAME PROGRAM...: in the background; dies with this script.
start() {
  name=$1
  shift
  if command -v setpriv >/dev/null 2>&1; then set -- setpriv --pdeathsig TERM "$@"; fi
  "$@" >"$folder/$name.out" 2>&1 &
  pids="$! $pids"
}

# give_up NAME: the daemon could not be started.
give_up() {
  echo "Slurm cannot be started here: $1: $(tail -n 3 "$folder/$1".* 2>/dev/null | tr '\n' ' ')"
  exit 78
}

# within SECONDS COMMAND...: until the command succeeds.
within() {
  tries=$(($1 * 5))
  shift
  while [ "$tries" -gt 0 ]; do
    "$@" >/dev/null 2>&1 && return 0
    sleep 0.2
    tries=$((tries - 1))
  done
  return 1
}

mungekey --create --keyfile "$folder/munge.key" >"$folder/mungekey.out" 2>&1 || give_up mungekey
start munged munged --foreground --key-file "$folder/munge.key" --socket "$folder/munge.socket" \
  --pid-file "$folder/munged.pid" --seed-file "$folder/munge.seed" --log-file "$folder/munged.log" --num-threads 2
within 10 test -S "$folder/munge.socket" || give_up munged

port=$((20000 + $$ % 20000))
cat >"$folder/slurm.conf" <<CONF
ClusterName=lampbeat
SlurmctldHost=$host(127.0.0.1)
SlurmUser=$user
SlurmdUser=$user
AuthType=auth/munge
CredType=cred/munge
AuthInfo=socket=$folder/munge.socket
SlurmctldPort=$port
SlurmdPort=$((port + 1))
SlurmctldPidFile=$folder/slurmctld.pid
SlurmdPidFile=$folder/slurmd.pid
SlurmctldLogFile=$folder/slurmctld.log
SlurmdLogFile=$folder/slurmd.log
StateSaveLocation=$folder/state
SlurmdSpoolDir=$folder/spool
ProctrackType=proctrack/linuxproc
TaskPlugin=task/none
JobAcctGatherType=jobacct_gather/none
AccountingStorageType=accounting_storage/none
MpiDefault=none
ReturnToService=2
MinJobAge=300
KillWait=2
InactiveLimit=0
SchedulerParameters=sched_min_interval=0,batch_sched_delay=0,sched_interval=1,default_queue_depth=500
SelectType=select/cons_tres
SelectTypeParameters=CR_CPU
SlurmdParameters=config_overrides
NodeName=$host NodeAddr=127.0.0.1 CPUs=16 State=UNKNOWN
PartitionName=main Nodes=ALL Default=YES MaxTime=10 State=UP
CONF
export SLURM_CONF="$folder/slurm.conf"
start slurmctld slurmctld -D -f "$SLURM_CONF"
within 15 scontrol ping || give_up slurmctld
start slurmd slurmd -D -f "$SLURM_CONF" -N "$host"
node_is_up() { sinfo -h -o %T | grep -q -x idle; }
within 20 node_is_up || give_up slurmd
"$@" &
command=$!
pids="$command $pids"
wait "$command"
