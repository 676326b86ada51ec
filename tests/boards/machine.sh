# A Linux machine that runs station.sh until it sleeps. A file rtc that is missing is a machine just started.
[ -e rtc ] || date +%s%N > rtc
started=$(cat rtc)
echo $(($(date +%s) - ${started%?????????} + 5)).25 > uptime
echo 0 > step
rm -f asleep
PATH=$PWD/steps:$PATH dash station.sh
[ -e asleep ]
