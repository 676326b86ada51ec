#!/bin/sh
# Stands before a command of the machine: takes note of what is written, and cuts the power at step DIE_AT.
command=${0##*/}
PATH=${PATH#*:}

step() {
  number=$(($(cat step) + 1))
  echo $number > step
  grep -shE '"rain": [0-9]+\}$' kept/* | sed 's/.*: \([0-9]*\).*/\1/' >> written
  [ $number != "$DIE_AT" ] || kill -9 0
}

step
case $command in
  sleep)
    touch asleep
    kill $PPID
    ;;
  sensor)
    given=$(($(cat handed_out 2> /dev/null) + 1))
    echo $given > handed_out
    echo $given
    ;;
  mv | rm | curl)
    $command "$@"
    outcome=$?
    step
    exit $outcome
    ;;
  *) exec $command "$@" ;;
esac
