package org.bathwarden.line;

import java.time.Duration;
import java.util.Map;
import org.bathwarden.tank.TankId;

/** The contract on the fake, so that a test on the fake means what it means on a wire. */
class FakeContractTest extends LineContractSuite {

  @Override
  protected LineRig rig() {
    return new Rig();
  }

  private static final class Rig implements LineRig {

    private static final int TANKS = 2;

    private final TestFloor floor = new TestFloor(TANKS);
    private final FakeLine line = new FakeLine(floor, TestFloor.configs(TANKS));

    @Override
    public ItemMap map(int tankNumber) {
      return ItemMap.opcUaDefault(tankNumber, FakeLine.URI);
    }

    @Override
    public Place nowhere(Encoding encoding) {
      return new Place.Node(FakeLine.URI, "s=Line.Tank1.nowhere", encoding);
    }

    @Override
    public Place as(Item item, Encoding encoding) {
      return new Place.Node(FakeLine.URI, "s=Line.Tank1." + item.contractName(), encoding);
    }

    @Override
    public LineReader open(Map<TankId, ItemMap> tanks) {
      return line.tanks(tanks);
    }

    @Override
    public LineProbe probe() {
      return line;
    }

    @Override
    public LineWriter writer(TankId tank) {
      return line.writer(tank);
    }

    @Override
    public LineStopper stopper(TankId tank) {
      return line.stopper(tank);
    }

    @Override
    public TestFloor floor() {
      return floor;
    }

    @Override
    public void advance(Duration simulated) {
      line.advance(simulated);
    }

    @Override
    public void set(Trouble trouble) {
      line.set(trouble);
    }

    @Override
    public void next(Trouble trouble) {
      line.next(trouble);
    }

    @Override
    public void clear(Trouble trouble) {
      line.clear(trouble);
    }

    @Override
    public long writes() {
      return line.writes();
    }

    @Override
    public long reads(int index) {
      return line.reads(index);
    }

    @Override
    public void close() {
      line.close();
    }
  }
}
