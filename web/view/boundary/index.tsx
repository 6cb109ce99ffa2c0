import { Component, type ComponentChildren, type JSX } from 'preact';
import { Button } from '../button/index.tsx';
import { Icon } from '../icon/index.tsx';

type Props = { children: ComponentChildren };
type State = { failed: boolean };

/** Holds a fault in one part of the page to that part: says so, offers a way on, and the rest goes on. */
export class Boundary extends Component<Props, State> {
  override state: State = { failed: false };

  static override getDerivedStateFromError(): State {
    return { failed: true };
  }

  override componentDidCatch(error: unknown): void {
    console.error(error);
  }

  override render(): JSX.Element {
    if (!this.state.failed) return <>{this.props.children}</>;
    return (
      <section class="boundary" role="alert" data-testid="part-failed">
        <p>
          <Icon name="warning" size={26} /> This part of the page has failed. Nothing that was measured or
          tapped is lost.
        </p>
        <Button onClick={() => this.setState({ failed: false })}>Try again</Button>
        <Button onClick={() => location.reload()}>Reload the page</Button>
      </section>
    );
  }
}
