# Sensors in rooms.

sensor-none = No sensor sends to me.
sensor-how = A new address for one: ~/sensor new kitchen
sensor-how-off = ~/sensor new kitchen makes another, ~/sensor off kitchen ends one.
sensor-silent = { $room }: never heard yet.
sensor-line = { $room }: { $celsius }{ $humidity ->
    [none] {""}
   *[other] , { $humidity } %
  }, { $when }.
sensor-no-address = I have no web address here to which a sensor could send. Tell me a room's air instead: ~/room kitchen { example-warm } 45%
sensor-which-room = In which room is it? { $rooms ->
    [none] No plant has one yet: ~/spot fern kitchen
   *[other] There are { $rooms }: ~/sensor new kitchen
  }
sensor-too-many = You have as many sensors as I listen to.
sensor-new = { $room }: have the sensor send here, every few minutes:
sensor-send = POST, as JSON or a form: temperature "21.5 C", humidity "45 %".
sensor-secret = Who knows this address can send in your name: I can't show it again. ~/sensor off { $room } ends it.
sensor-which-off = { $rooms ->
    [none] There is no sensor to end.
   *[other] Which? There are sensors in { $rooms }: ~/sensor off kitchen
  }
sensor-off = { $rooms }: { $n ->
    [one] its address is
   *[other] their addresses are
  } dead now. Whatever still sends there is refused.
