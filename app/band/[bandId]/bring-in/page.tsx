import type { Metadata } from 'next';
import { headers } from 'next/headers';
import { notFound } from 'next/navigation';
import { READ_ENDINGS } from '../../../../lib/exchange';
import { pageData, whyNot } from '../../../../lib/protocol';
import { BringIn } from '../../BringIn';
import { NotYours } from '../../NotYours';

export const metadata: Metadata = { title: 'Bring in a song' };

export default async function BringInRoute({
  params,
}: {
  readonly params: Promise<{ readonly bandId: string }>;
}) {
  const { bandId } = await params;
  const page = await pageData().band(bandId, (await headers()).get('cookie'));
  if (!page.ok) {
    if (page.error.code === 'not found') notFound();
    return <NotYours problem={page.error} />;
  }
  const { band, you } = page.value;
  if (you.kind !== 'player') return <NotYours problem={whyNot('players only', `the band ${band.name}`)} />;
  return <BringIn bandId={band.id} bandName={band.name} endings={READ_ENDINGS} />;
}
