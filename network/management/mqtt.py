"""Reports that come over MQTT: a topic a station, acknowledged to the broker only once they are stored.

Source: OASIS, MQTT 3.1.1 (2014) and MQTT 5.0 (2019): quality of service 1, and sessions that outlast a connection.
"""

import json
import logging
import time
from collections.abc import Callable
from typing import Any
from urllib.parse import unquote, urlsplit

from django.db import Error, close_old_connections
from paho.mqtt.client import Client, MQTTMessage, MQTTv5, MQTTv311
from paho.mqtt.enums import CallbackAPIVersion
from paho.mqtt.packettypes import PacketTypes
from paho.mqtt.properties import Properties

from network.pipeline.intake.receive import Receipt, Sender, receive
from network.web.intake import NO_KEY, answer_of, turned_away, without_key
from network.wire.limits import Refusal
from stations.models.key import digest

logger = logging.getLogger(__name__)

REPORTS = "stations/+/reports"
PROTOCOLS = {"5": MQTTv5, "3.1.1": MQTTv311}
SESSION = 7 * 86_400
"""[s] For so long a broker keeps what comes while nobody listens."""
AGAIN = 5.0
"""[s] After this a broker that is away, or reports that could not be stored, are tried again."""
ELSEWHERE = Refusal(
    403, "This key is another station's.", "Send to the topic with your own station's number."
)


class Listener:
    """Hears what boards say at a broker and hands it in, until it is stopped."""

    def __init__(self, url: str, protocol: str, say: Callable[[str], None]) -> None:
        self.address, self.say, self.stopped = urlsplit(url), say, False
        five = protocol == "5"
        self.client = Client(
            CallbackAPIVersion.VERSION2,
            client_id="village-weather-hub",
            protocol=PROTOCOLS[protocol],
            clean_session=None if five else False,
            manual_ack=True,
        )
        self.client.on_connect = self._connected
        self.client.on_message = self._heard
        if self.address.username:
            self.client.username_pw_set(unquote(self.address.username), unquote(self.address.password or ""))
        if self.address.scheme == "mqtts":
            self.client.tls_set()

    def run(self) -> None:
        """Listen; come back to a broker that was away."""
        while not self.stopped:
            try:
                self._connect()
                self.client.loop_forever()
            except OSError as problem:
                logger.warning("The broker at %s is away: %s.", self.address.hostname, problem)
            if not self.stopped:
                time.sleep(AGAIN)

    def stop(self) -> None:
        self.stopped = True
        self.client.disconnect()

    def _connect(self) -> None:
        more: dict[str, Any] = {}
        if self.client.protocol == MQTTv5:
            kept = Properties(PacketTypes.CONNECT)
            kept.SessionExpiryInterval = SESSION
            more = {"clean_start": False, "properties": kept}
        port = self.address.port or (8883 if self.address.scheme == "mqtts" else 1883)
        self.client.connect(self.address.hostname or "127.0.0.1", port, **more)

    def _connected(self, client: Client, _data: Any, _flags: Any, reason: Any, _properties: Any) -> None:
        if reason.is_failure:
            logger.error("The broker refuses us: %s.", reason)
            return
        client.subscribe(REPORTS, qos=1)
        self.say(f"listening to {REPORTS}")

    def _heard(self, client: Client, _data: Any, message: MQTTMessage) -> None:
        if not message.retain:  # a broker repeats what it retains to everyone who comes
            try:
                outcome = take(message)
            except Error as problem:
                logger.error("A report could not be stored: %s", problem)
                client.disconnect()  # unacknowledged, it comes again with the next connection
                return
            client.publish(f"{message.topic}/answer", json.dumps(answer_of(outcome)))
        client.ack(message.mid, message.qos)


def take(message: MQTTMessage) -> Receipt | Refusal:
    """Hand in one message. Its key stands in the report, or is a user property of MQTT 5 named ``key``."""
    properties = dict(getattr(message.properties, "UserProperty", []))
    inside, body = without_key(message.payload)
    key = (properties.get("key") or inside).strip()
    if not key:
        return NO_KEY
    close_old_connections()
    sender = Sender.by_key(digest(key))
    if refusal := turned_away(sender):
        return refusal
    if sender is None or message.topic.split("/")[1] != str(sender.station):
        return ELSEWHERE
    content_type = getattr(message.properties, "ContentType", "")
    return receive(sender, body, content_type, time.time())
